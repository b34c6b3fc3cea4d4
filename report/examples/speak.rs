//! Prints what the verdict that leads says of records: `speak RECORD...`. For reading aloud.

use report::facts::{Facts, Lead};
use report::view::Others;
use report::words;
use scoring::compare::causes::RUNGS;
use scoring::range::{Assessment, Effort};
use scoring::text::{Source, Sources};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let method = scoring::method::load_shipped("en-45554").ok_or("no method")?;
    let mut out = String::new();
    for path in std::env::args().skip(1) {
        let mut sources = Sources::new();
        let file = sources.add(Source::new(&path, &std::fs::read_to_string(&path)?));
        let read = scoring::record::read(&sources, file);
        let record = read.record.ok_or_else(|| format!("{path}: {:?}", read.diagnostics))?;
        let assessment = Assessment::new(&record, &method, Effort::default());
        let others = Others::new(&record, &method, Effort::default());
        let Some(lead) = Lead::new(&record, &assessment, others.bench.as_ref(), RUNGS) else {
            out.push_str(&format!("{path}: no points\n"));
            continue;
        };
        let Some(facts) = Facts::new(&record, &lead) else { continue };
        let said = words::sentence(&facts);
        out.push_str(&format!("== {path} ({:?}, {} words)\n{}\n", said.shape, words::words(&said.text), said.spoken));
        let script = words::script(&record, &facts);
        let count: usize = script.iter().map(|s| words::words(&s.text)).sum();
        out.push_str(&format!("-- script, {count} words\n"));
        for shown in &script {
            let at = shown.at.map_or_else(String::new, |t| format!("[{}]", report::clean::clock(t)));
            out.push_str(&format!("{at:8}{}\n", shown.text));
        }
        let two = |e: &[scoring::exact::Exact; 2]| format!("{:.2} {:.2}", e[0].to_f64(), e[1].to_f64());
        for cause in facts.causes.iter().take(4) {
            out.push_str(&format!("   cost {} {}\n", two(&cause.gain), words::cost(&facts, cause)));
        }
        for promise in facts.promises.iter().take(3) {
            out.push_str(&format!("   promise {} {}\n", two(&promise.gain), words::promise_cost(promise)));
        }
        for open in facts.open.iter().take(4) {
            out.push_str(&format!("   open {:.2} {}\n", open.moves.to_f64(), words::open_line(&facts, open)));
        }
        for lost in &facts.lost.criteria {
            out.push_str(&format!(
                "   lost {} {}{}\n",
                two(&lost.points),
                lost.short,
                if lost.limit { " (limit)" } else { "" }
            ));
        }
        out.push_str(&format!(
            "   all lost {}, not explained {}\n",
            two(&facts.lost.all),
            two(&facts.lost.unexplained)
        ));
    }
    #[expect(clippy::print_stdout, reason = "it prints")]
    {
        print!("{out}");
    }
    Ok(())
}
