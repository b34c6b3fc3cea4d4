//! Texts nobody would write, made from those somebody wrote: a mutation loop in process, on the stable toolchain.
//!
//! Every [`targets::Target`] takes bytes and says in a line what came of them. What is asserted of each: it doesn't panic,
//! it says the same twice, and it takes no more than [`MOST_SECONDS`] of processor time for at most [`LONGEST`] bytes.

pub mod targets;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::Instant;

/// Longest text made, bytes.
pub const LONGEST: usize = 64 << 10;
/// Processor time one text may take, seconds, in a build without optimisation; a text of this length usually takes
/// hundredths.
pub const MOST_SECONDS: f64 = 10.0;

/// Draws that are the same on every machine (xorshift64*, Vigna 2016; memory high).
#[derive(Clone, Debug)]
pub struct Draws(u64);

impl Draws {
    /// The draws of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// A number below `n`, or 0.
    pub fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() >> 33).unwrap_or(0) % n.max(1)
    }

    fn of<'t, T>(&mut self, list: &'t [T]) -> Option<&'t T> {
        list.get(self.below(list.len()))
    }
}

/// Pieces that mean something to some reader: signs of YAML, CSV, captions and templates, numbers at their ends, characters
/// that do something instead of showing something.
const PIECES: [&[u8]; 64] = [
    b":",
    b"- ",
    b"  ",
    b"\n",
    b"\r\n",
    b"\t",
    b"[",
    b"]",
    b"{",
    b"}",
    b",",
    b"|",
    b"+",
    b" or ",
    b"\"",
    b"'",
    b"#",
    b"&a ",
    b"*a",
    b"!x ",
    b"---\n",
    b"? ",
    b"~",
    b"null",
    b"unknown",
    b"nothing",
    b"none",
    b"yes",
    b"at least ",
    b"..",
    b"0",
    b"-1",
    b"0.1",
    b"1/0",
    b"1e400",
    b"4294967296",
    b"9223372036854775808",
    b"99999999999999999999",
    b"NaN",
    b"\xff",
    b"\xc3",
    b"\x00",
    b"\x1b[2J",
    b"\xc2\x9b",
    b"\xe2\x80\xae",
    b"\xe2\x80\x8b",
    b"\xef\xbb\xbf",
    b"\xef\xbf\xbf",
    b"\xf0\x9f\x91\xa9",
    b"\xcc\x81",
    b"{{ ",
    b" }}",
    b"{% for x in view %}",
    b"{% endfor %}",
    b"{% set s = s ~ s %}",
    b"{% include 'report.md' %}",
    b"|safe",
    b" --> ",
    b"00:00:01,000",
    b"WEBVTT\n",
    b"<b>",
    b"extends: a.yaml\n",
    b"after: ",
    b"\\u202e",
];

/// One text made from the seeds.
pub fn mutated(seeds: &[Vec<u8>], draws: &mut Draws) -> Vec<u8> {
    let mut text = draws.of(seeds).cloned().unwrap_or_default();
    let times = 1 + draws.below(6);
    for _ in 0..times {
        change(&mut text, seeds, draws);
        text.truncate(LONGEST);
    }
    text
}

fn change(text: &mut Vec<u8>, seeds: &[Vec<u8>], draws: &mut Draws) {
    let at = draws.below(text.len() + 1);
    match draws.below(10) {
        0 => {
            if let Some(byte) = text.get_mut(at) {
                *byte ^= 1 << draws.below(8);
            }
        }
        1 => {
            let end = (at + 1 + draws.below(40)).min(text.len());
            text.drain(at.min(end)..end);
        }
        2 | 3 => {
            let piece = draws.of(&PIECES).copied().unwrap_or_default();
            text.splice(at..at, piece.iter().copied());
        }
        4 => {
            // A piece, very often.
            let piece = draws.of(&PIECES).copied().unwrap_or_default();
            let times = 1 << draws.below(12);
            text.splice(at..at, piece.repeat(times));
        }
        // Lines: one left out, one said twice, two changed about, one from another text.
        5 => lines(text, draws, |all, a, _| drop(all.remove(a))),
        6 => lines(text, draws, |all, a, b| all.insert(b, all[a].clone())),
        7 => lines(text, draws, |all, a, b| all.swap(a, b)),
        8 => {
            let other: Vec<Vec<u8>> = draws.of(seeds).map(|s| split(s)).unwrap_or_default();
            if let Some(line) = draws.of(&other).cloned() {
                lines(text, draws, |all, a, _| all.insert(a, line));
            }
        }
        _ => number(text, at, draws),
    }
}

fn split(text: &[u8]) -> Vec<Vec<u8>> {
    text.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect()
}

fn lines(text: &mut Vec<u8>, draws: &mut Draws, then: impl FnOnce(&mut Vec<Vec<u8>>, usize, usize)) {
    let mut all = split(text);
    if all.is_empty() {
        return;
    }
    let (a, b) = (draws.below(all.len()), draws.below(all.len()));
    then(&mut all, a, b);
    *text = all.concat();
}

/// Another number in the place of the next one.
fn number(text: &mut Vec<u8>, from: usize, draws: &mut Draws) {
    let Some(start) = text[from..].iter().position(u8::is_ascii_digit).map(|n| from + n) else { return };
    let end = text[start..].iter().position(|b| !b.is_ascii_digit()).map_or(text.len(), |n| start + n);
    let numbers: [&[u8]; 8] = [b"0", b"1", b"2", b"999", b"65536", b"2147483648", b"18446744073709551616", b"-3"];
    let number = draws.of(&numbers).copied().unwrap_or_default();
    text.splice(start..end, number.iter().copied());
}

/// What went wrong with one text.
#[derive(Debug)]
pub struct Fault {
    /// The target.
    pub target: &'static str,
    /// The text.
    pub text: Vec<u8>,
    /// What happened.
    pub what: String,
}

/// Gives a target one text, twice.
pub fn tried(target: &targets::Target, text: &[u8]) -> Result<(), Fault> {
    let fault = |what: String| Err(Fault { target: target.name, text: text.to_vec(), what });
    let once = || catch_unwind(AssertUnwindSafe(|| (target.run)(text)));
    let (clock, watch) = (processor(), Instant::now());
    let Ok(first) = once() else { return fault("it panics".to_owned()) };
    let taken = match (clock, processor()) {
        (Some(before), Some(after)) => after - before,
        _ => watch.elapsed().as_secs_f64(),
    };
    if taken > MOST_SECONDS {
        return fault(format!("it takes {taken:.1} s"));
    }
    match once() {
        Ok(second) if first == second => Ok(()),
        Ok(second) => fault(format!("it says `{first}` and then `{second}`")),
        Err(_) => fault("it panics the second time".to_owned()),
    }
}

/// Processor time of this thread so far, seconds: other work on the machine doesn't count. Linux only.
pub fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split(' ').next()?.parse::<f64>().ok()? / 1e9)
}
