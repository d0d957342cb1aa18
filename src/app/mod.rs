//! The window: views, actions, undo, workers, keyboard. Holds no formula.
