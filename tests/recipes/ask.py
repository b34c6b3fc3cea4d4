"""Asks the program that the recipes were followed in: the new fact is asked for, answered, weighed and explained."""

import subprocess
import sys
import tempfile
from pathlib import Path

program = sys.argv[1]
folder = Path(tempfile.mkdtemp())


def run(*arguments, code=(0,)):
    done = subprocess.run([program, *arguments], capture_output=True, text=True, check=False)
    if done.returncode not in code:
        raise SystemExit(f"{arguments}: {done.stdout}{done.stderr}")
    return done.stdout


def holds(text, *wanted):
    flat = " ".join(text.split())
    for one in wanted:
        if one not in flat:
            raise SystemExit(f"`{one}` is not in:\n{text}")


form = run("new", "smartphone", "--method", "house-loan")
holds(form, "loan device: unknown", "free, for a fee, none", "security updates: unknown")
record = folder / "form.yaml"
record.write_text(form)
open_ = run("unknowns", str(record), "--method", "house-loan")
holds(open_, "Is there a device on loan while one is repaired?", "For how many years are security updates promised?")
# The lesser of the two counts, so with one known the other decides.
record.write_text(form.replace("  updates: unknown", "  updates: 7 years"))
holds(run("changes", str(record), "--method", "house-loan"), "a device on loan: free", "5 years of security updates")
answers = folder / "answers.csv"
answers.write_text("path,answer\nsupport.loan device,for a fee\n")
run("answer", str(record), "--method", "house-loan", "--from", str(answers))
holds(record.read_text(), "loan device: for a fee")
record.write_text(record.read_text().replace("loan device: for a fee", "loan device: lent"))
wrong = subprocess.run([program, "check", str(record)], capture_output=True, text=True, check=False)
holds(wrong.stdout + wrong.stderr, "`lent` is not an offer of a loan", "free, for a fee, none")
holds(run("schema", "record"), '"loan device"')
