//! The program's verbs without a window.
