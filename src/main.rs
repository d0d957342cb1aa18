//! The program: the window, or one of the verbs without a window.
fn main() {}
