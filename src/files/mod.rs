//! Files, whatever is in them: opening with a guard, safe writing, names, the largest sizes, text with line and column,
//! the log.

mod digest;
mod inside;
pub mod limits;
mod lock;
pub mod log;
mod names;
mod out;
mod read;
pub mod text;
mod write;

pub use digest::{Digest, digest, digest_file};
pub use inside::{PathFault, inside, resolve};
pub use lock::{Lock, lock};
pub use names::{ending, file_name, plain_name, shorten, shown};
pub use out::{OutError, OutKind, Replacing};
pub use read::{ReadError, is_there, list, open, read, read_if_there};
pub use write::{
    WriteError, is_in_use, make_folder, replace, replace_inside, replace_keeping, sweep_unfinished,
};

pub(crate) use write::{Unfinished, finish_folder, folder_of, unfinished_folder};
