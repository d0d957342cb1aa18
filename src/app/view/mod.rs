//! The views: each file draws one part of the window from state that it borrows and pushes the actions it wants.
