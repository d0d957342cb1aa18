//! What the shell and the pages share: the open specimen with what follows from it, what a page asks for, and what the
//! workers bring back. Knows no page; draws nothing.

pub mod action;
pub mod bench;
pub mod comparing;
pub mod done;
pub mod history;
pub mod intake;
pub mod other_coin;
pub mod picture_slot;
pub mod question;
pub mod set_checks;
pub mod shelf;
pub mod snapping;
pub mod store;
pub mod thumbnails;
pub mod ticket;
