"""Adds a fact (`support: loan device`) and a measure (`years of all updates`) as DEVELOPERS.md says, in the folder it runs in.

Every edit names the text it stands beside, so that it fails loudly where the house has moved."""

from pathlib import Path


def beside(path, mark, text, before=False):
    file = Path(path)
    old = file.read_text()
    if old.count(mark) != 1:
        raise SystemExit(f"{path}: `{mark}` stands there {old.count(mark)} times; mend tests/recipes/add.py")
    file.write_text(old.replace(mark, text + mark if before else mark + text))


# A fact: its row.
beside(
    "scoring/src/vocab/promise.rs",
    "    /// Full cycles to 80 % of the battery's capacity.\n",
    '''    /// A device on loan while one is repaired.
    Loan = PromiseRow {
        of: Of::Support, field: "loan device", column: "loan device",
        holds: Holds::Words(&Shape::Fact(&Shape::Words(|| vec!["free", "for a fee", "none"])), "an offer of a loan"),
        doc: "A device on loan while one is repaired.",
        measure: "loan device", meaning: "Device on loan during a repair.",
        question: "Is there a device on loan while one is repaired?",
        change: "a device on loan: {to}",
    };
''',
    before=True,
)
# Its lines on the pages.
beside("samples/README.md", "| `return options` | `comprehensive`, `basic`, `none` |\n", "| `loan device` | `free`, `for a fee`, `none` |\n")
beside(
    "criteria/README.md",
    "| `battery cycles` |",
    "| `loan device` | Device on loan during a repair | `free`, `for a fee`, `none` | device | `support: loan device` |\n",
    before=True,
)

# A measure of two facts: its line, unit, what it reads, what settles it, and the reading.
measure = "scoring/src/method/measure.rs"
beside(
    measure,
    "    /// Repair information, who and at what cost together",
    '    /// Years in which all updates come.\n    AllUpdates = "years of all updates", Number;\n',
    before=True,
)
beside(measure, '            Self::PartsInTheWay => "parts",\n', '            Self::AllUpdates => "years",\n')
beside(
    measure,
    "            Self::SparesOffered => vec![Promise::To],\n",
    "            Self::AllUpdates => vec![Promise::Updates, Promise::SecurityUpdates],\n",
)
beside(
    measure,
    '            Self::Information => "`to` and `cost` under `support: information`",\n',
    '            Self::AllUpdates => "`support: updates` and `support: security updates`",\n',
)
beside(
    "scoring/src/assess/measures/support.rs",
    "        Measure::Information => {\n",
    "        Measure::AllUpdates => Value::Number(\n"
    "            support.facts.number(Promise::Updates).min(support.facts.number(Promise::SecurityUpdates)),\n"
    "        ),\n",
    before=True,
)
beside(
    "criteria/README.md",
    "| `information` |",
    "| `years of all updates` | Years in which all updates come | years, more is better | device | "
    "`support: updates` and `support: security updates` |\n",
    before=True,
)

# A method that reads both, and a fixture for each.
Path("criteria/house-loan.yaml").write_text(
    """unfasten method: 1
id: house-loan
title: A house that looks at two things
edition: first
about: Reads what a recipe added.
source: the recipe, own choice
certainty: own
scope: {categories: [smartphone]}
scale: {from: 0, to: 10}
parts: [{for: [smartphone], weights: {battery: 1}}]
criteria:
  id: total
  combine: mean
  of:
    - {id: loan, weight: 1, measure: loan device, levels: {free: 10, for a fee: 4, none: 0}}
    - {id: both, weight: 1, measure: years of all updates, bands: {from 5: 10, from 3: 5, less: 0}}
"""
)
beside("scoring/src/method/shipped.rs", '    "eu-2019-2023",\n', '    "house-loan",\n')
beside("tests/fixtures/measures/slab.yaml", "  return options: comprehensive\n", "  loan device: free\n")
beside(
    "tests/tests/methods/measures_each.rs",
    "    // At least five years (read).\n    security_updates:",
    '    loan: Measure::Promise(Promise::Loan), "house-loan", "loan", "loan device: free" => "loan device: for a fee", 10 => 4;\n'
    '    all_updates: Measure::AllUpdates, "house-loan", "both", "security updates: 5" => "security updates: 4", 10 => 5;\n',
    before=True,
)
