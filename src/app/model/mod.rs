//! What the shell and the pages share: the open specimen with what follows from it, and what a page asks for. Draws
//! nothing.

pub mod action;
pub mod bench;
pub mod draft;
pub mod history;
pub mod message;
pub mod other_coin;
pub mod page;
pub mod shelf;
pub mod store;
