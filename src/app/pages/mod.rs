//! The pages. A page knows widgets and what the shell and the pages share, never another page and never the shell.

pub mod align;
pub mod cabinet;
pub mod compare;
pub mod intake;
pub mod sheet;
pub mod standing;
pub mod workshop;
