//! The real program at a pseudo-terminal.
#![cfg(unix)]

use std::fs::{File, OpenOptions};
use std::io::Read;
use std::os::unix::fs::OpenOptionsExt;
use std::process::{Command, ExitStatus, Stdio};

use rustix::fs::OFlags;
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};

/// Runs the program with a pseudo-terminal for all three streams, or for all but the output; what the terminal was given.
pub(crate) fn at_a_terminal(arguments: &[&str], out: Option<File>) -> (String, ExitStatus) {
    let main = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("a pseudo-terminal");
    grantpt(&main).expect("granted");
    unlockpt(&main).expect("unlocked");
    let name = ptsname(&main, Vec::new()).expect("a name").into_string().expect("ASCII");
    let flags = i32::try_from(OFlags::NOCTTY.bits()).expect("a flag");
    let side = || -> Stdio {
        OpenOptions::new().read(true).write(true).custom_flags(flags).open(&name).expect("opened").into()
    };
    // The command is dropped with its copies of the other side, so that reading ends when the program does.
    let mut child = Command::new(super::program_path())
        .args(arguments)
        .env("TERM", "xterm-256color")
        .env_remove("NO_COLOR")
        .stdin(side())
        .stdout(out.map_or_else(side, Stdio::from))
        .stderr(side())
        .spawn()
        .expect("the program starts");
    let mut bytes = Vec::new();
    // Reading ends with an error once the other side is closed.
    let _ = File::from(main).read_to_end(&mut bytes);
    let status = child.wait().expect("the program ends");
    (String::from_utf8(bytes).expect("output is UTF-8"), status)
}
