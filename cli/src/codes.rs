//! Problems the command itself finds, before a text can be read. The rest are registered with what finds them.

/// A problem explained.
pub(crate) struct Code {
    /// The code.
    pub(crate) word: &'static str,
    /// A few words.
    pub(crate) title: &'static str,
    /// Why, and what to do.
    pub(crate) text: &'static str,
}

/// All of them.
pub(crate) static ALL: &[Code] = &[
    Code {
        word: "missing-file",
        title: "a file that was named is not there",
        text: "A file named on the command line, or by `extends:` in another file, doesn't exist. Paths on the command line \
               start from the folder you are in; paths inside a file start from that file's own folder.",
    },
    Code {
        word: "directory",
        title: "a directory where a file is wanted",
        text: "One record or one method is one file. Name the file inside the directory.",
    },
    Code {
        word: "unreadable-file",
        title: "the system does not let a file be read",
        text: "The file is there, but reading it failed. Usually you lack the right to read it, or the disk it is on is gone.",
    },
];
