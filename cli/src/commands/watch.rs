//! `report --watch`: renders again whenever a file the report is made from is saved, and shows the newest in an open page.
//!
//! Files are asked for their times a few times a second. That needs no crate, works where a folder is on another machine or an
//! editor replaces the file instead of writing it, and follows files a record begins or ceases to name; a handful of questions
//! to the file system cost nothing beside a rendering.
//!
//! The page is shown by a server of its own on this machine alone (127.0.0.1). A page opened from a file can't ask whether it
//! is stale without reloading over and over, which loses the reader's place; and what stands on the disk stays what `report`
//! writes without a watch, to the byte. The server gives out files of the report and one page around them that asks for the
//! newest state; no other machine is asked or answered.

use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::Duration;

use serde_json::json;

use crate::arguments::Report;
use crate::failure::Failure;
use crate::files::seen;
use crate::problems::Form;
use crate::terminal::hang;
use crate::terminal::shown::Tamed;
use crate::words::{plain, watch as say};
use crate::world::{WIDTH, World};

/// Between two looks at the files.
const EVERY: Duration = Duration::from_millis(250);
/// Longest request head read, bytes.
const LONGEST: usize = 8 << 10;
/// How long a request may take to arrive.
const PATIENCE: Duration = Duration::from_secs(2);

/// What is shown at the moment.
#[derive(Default)]
struct State {
    /// Counts renderings.
    version: u64,
    /// The newest report, by file name; of what could not be rendered the last that could.
    files: BTreeMap<String, Vec<u8>>,
    /// Why there is no newer one.
    problems: Option<String>,
}

pub(crate) fn run(arguments: &Report, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let Some(out) = &arguments.out else {
        return Err(Failure::said(say::NEEDS_A_FOLDER));
    };
    if arguments.records.iter().any(|r| r == "-") {
        return Err(Failure::wrong(say::NO_INPUT, plain::NAME_ITS_FILE));
    }
    let failed = |e: std::io::Error| Failure::Failed(say::no_page(&e));
    let listener = TcpListener::bind(("127.0.0.1", 0)).map_err(failed)?;
    let address = listener.local_addr().map_err(failed)?.to_string();
    let state = Arc::new(Mutex::new(State::default()));
    let served = Arc::clone(&state);
    let host = address.clone();
    thread::Builder::new().name("page".to_owned()).spawn(move || serve(&listener, &host, &served)).map_err(failed)?;
    write!(world.err, "{}", hang("", &say::open(&address), WIDTH))?;
    loop {
        render(arguments, form, out, &state, world)?;
        let seen = seen::take();
        while !seen::changed(&seen) {
            thread::sleep(EVERY);
        }
        // An editor may still be writing.
        thread::sleep(EVERY / 2);
    }
}

/// Renders once. What is wrong goes to the terminal and, in place of the report, to the page.
fn render(
    arguments: &Report,
    form: Form,
    out: &Path,
    state: &Mutex<State>,
    world: &mut World<'_>,
) -> Result<(), Failure> {
    let mut said = Tamed::new(Vec::new());
    let done = {
        let mut inner = World {
            input: None,
            out: &mut Tamed::new(std::io::sink()),
            err: &mut said,
            out_styled: false,
            err_styled: false,
            err_terminal: false,
            base: world.base,
            layout: world.layout,
        };
        let done = super::report::render(arguments, form, &mut inner);
        done.map_err(|failure| crate::end(failure, form, &mut inner))
    };
    let said = String::from_utf8_lossy(&said.into_bytes()).into_owned();
    world.err.write_all(said.as_bytes())?;
    world.err.flush()?;
    let mut state = state.lock().unwrap_or_else(PoisonError::into_inner);
    state.version += 1;
    match done {
        Ok(names) => {
            state.files =
                names.into_iter().filter_map(|n| Some((n.clone(), std::fs::read(out.join(n)).ok()?))).collect();
            state.problems = None;
        }
        Err(_) => state.problems = Some(said),
    }
    Ok(())
}

fn serve(listener: &TcpListener, host: &str, state: &Mutex<State>) {
    for stream in listener.incoming().flatten() {
        // A reader that went away is no fault of the watch.
        let _ = answer(stream, host, state);
    }
}

/// Answers one request: the page around, the state, or a file of the report.
fn answer(mut stream: TcpStream, host: &str, state: &Mutex<State>) -> std::io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut head = Vec::new();
    let mut buffer = [0; 1024];
    while !head.windows(4).any(|w| w == b"\r\n\r\n") && head.len() < LONGEST {
        match stream.read(&mut buffer)? {
            0 => break,
            n => head.extend_from_slice(&buffer[..n]),
        }
    }
    let head = String::from_utf8_lossy(&head).into_owned();
    let mut lines = head.lines();
    let mut words = lines.next().unwrap_or_default().split(' ');
    let (method, path) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    // Another name for this machine would let a page from elsewhere read along.
    let asked = lines.filter_map(|l| l.split_once(':')).find(|(k, _)| k.eq_ignore_ascii_case("host"));
    if method != "GET" || asked.is_none_or(|(_, h)| h.trim() != host) {
        return reply(&mut stream, "403 Forbidden", "text/plain; charset=utf-8", say::THIS_MACHINE_ALONE.as_bytes());
    }
    let state = state.lock().unwrap_or_else(PoisonError::into_inner);
    match path {
        "/" => reply(&mut stream, "200 OK", "text/html; charset=utf-8", around().as_bytes()),
        "/state" => {
            let pages: Vec<&String> = state.files.keys().filter(|n| n.ends_with(".html")).collect();
            let first = pages.iter().find(|n| **n == "index.html").or(pages.first());
            let text = json!({ "version": state.version, "page": first, "problems": state.problems }).to_string();
            reply(&mut stream, "200 OK", "application/json", text.as_bytes())
        }
        _ => match state.files.get(path.trim_start_matches('/')) {
            Some(bytes) => reply(&mut stream, "200 OK", sort(path), bytes),
            None => reply(&mut stream, "404 Not Found", "text/plain; charset=utf-8", say::NO_SUCH_FILE.as_bytes()),
        },
    }
}

fn sort(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "svg" => "image/svg+xml",
        "json" => "application/json",
        _ => "text/plain; charset=utf-8",
    }
}

fn reply(stream: &mut TcpStream, status: &str, sort: &str, body: &[u8]) -> std::io::Result<()> {
    write!(
        stream,
        "HTTP/1.1 {status}\r\nContent-Type: {sort}\r\nContent-Length: {}\r\nCache-Control: no-store\r\nX-Content-Type-Options: \
         nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    )?;
    stream.write_all(body)?;
    stream.flush()
}

/// The page around the report. The report in it is the file as written; where it can't be made anew, its problems stand there.
/// Its words stand in it by their keys; those of its script become strings of JSON.
const AROUND: &str = include_str!("watch/around.html");

fn around() -> String {
    let page = say::PAGE.map(|(key, words)| (key, words.to_owned()));
    let script = say::SCRIPT.map(|(key, words)| (key, json!(words).to_string()));
    let texts = page.into_iter().chain(script);
    texts.fold(AROUND.to_owned(), |page, (key, text)| page.replace(&format!("{{{key}}}"), &text))
}
