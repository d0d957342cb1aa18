//! Files, whatever is in them: opening with a guard, safe writing, names, the largest sizes, text with line and column,
//! the log.

mod digest;
mod inside;
pub mod limits;
pub mod log;
mod names;
mod read;
pub mod text;
mod write;

pub use digest::{Digest, digest, digest_file};
pub use inside::{PathFault, inside, resolve};
pub use names::{ending, file_name, plain_name, shorten, shown};
pub use read::{ReadError, list, open, read, read_if_there};
pub use write::{WriteError, is_in_use, make_folder, replace, replace_keeping, sweep_unfinished};

pub(crate) use write::{Unfinished, finish_folder, unfinished_folder};
