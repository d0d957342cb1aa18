//! The maker of demo coins, with exact truth. For the demo's plates and the tests; never reachable from the screens.
