//! How a run of the program ends.

/// The exit codes. They stay as they are from version to version.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// 0: done, and the answer is the hoped-for one.
    Done = 0,
    /// 1: done, and the answer is a 'no': the set has errors, a photo could not be aligned, a crop or the rim could
    /// not be had. The report says what.
    Negative = 1,
    /// 2: the command line is wrong, or names a part that the set does not have.
    Usage = 2,
    /// 3: a file given could not be read, or what is in it is wrong.
    Unreadable = 3,
    /// 4: a file could not be written; nothing that was there is lost.
    Unwritable = 4,
    /// 5: there is no display for the window.
    NoWindow = 5,
}

impl From<Exit> for std::process::ExitCode {
    fn from(exit: Exit) -> Self {
        std::process::ExitCode::from(exit as u8)
    }
}
