//! What is left for now of the rules on imports and lengths: each with its reason. These lists only shrink; an entry that
//! is no longer needed fails its test.

/// Circles of imports, by their files (or what their paths begin with), and the reason.
pub const CIRCLES: &[(&str, &str)] = &[
    ("align/alignment.rs align/belief.rs", "still to be parted"),
    ("app/", "laid out anew: work and pages still call each other"),
    (
        "evidence/dies.rs evidence/hinge.rs evidence/next.rs evidence/outcome.rs evidence/pairings.rs evidence/recheck.rs evidence/standing.rs evidence/wanting.rs",
        "a standing holds its outcome, hinges and rechecks, which are computed from it: still to be parted",
    ),
    ("geometry/dlt.rs geometry/fit.rs", "still to be parted"),
    (
        "headless/",
        "the list of verbs calls each verb, and each verb writes its report with the words beside the list",
    ),
    (
        "photo/jpeg.rs photo/other_codecs.rs photo/read.rs",
        "still to be parted",
    ),
    (
        "reference/merge/mod.rs reference/merge/tree.rs",
        "still to be parted",
    ),
    ("sheet/display.rs sheet/text.rs", "still to be parted"),
    ("specimen/comparison.rs specimen/record.rs", "still to be parted"),
    (
        "specimen/folder.rs specimen/saving.rs specimen/set_place.rs",
        "still to be parted",
    ),
];

/// Imports in the window's room against who may know whom: a file, what it knows, and the reason.
pub const STRANGERS: &[(&str, &str, &str)] = &[];

/// Functions longer than one can read at a glance: file, name and reason.
pub const LONG: &[(&str, &str, &str)] = &[
    (
        "../tests/mint/src/demo.rs",
        "demo_coins",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/features.rs",
        "obverse_features",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/features.rs",
        "obverse_zones",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/features.rs",
        "reverse_features",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/landmarks.rs",
        "obverse_landmarks",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/landmarks.rs",
        "reverse_landmarks",
        "one table, to be read from top to bottom",
    ),
    (
        "../tests/mint/src/lantern.rs",
        "lantern",
        "the drawing of one device, piece by piece",
    ),
    (
        "../tests/mint/src/main.rs",
        "run",
        "one arm for each order, with its arguments",
    ),
    (
        "../tests/mint/src/nautilus.rs",
        "height",
        "the drawing of one device, piece by piece",
    ),
    (
        "../tests/mint/src/obverse.rs",
        "scene",
        "the drawing of one device, piece by piece",
    ),
    (
        "../tests/mint/src/reverse.rs",
        "scene",
        "the drawing of one device, piece by piece",
    ),
    (
        "../tests/mint/src/set.rs",
        "pairings",
        "one table, to be read from top to bottom",
    ),
    ("align/rim_find/coarse.rs", "centres", "still to be split"),
    ("align/rim_find/mod.rs", "find_rim", "still to be split"),
    (
        "app/pages/align/landmarks.rs",
        "show",
        "one part of a page, control by control",
    ),
    ("app/pages/align/photo.rs", "paint_marks", "still to be split"),
    (
        "app/pages/align/photo.rs",
        "tools_ui",
        "one part of a page, control by control",
    ),
    (
        "app/pages/align/plate.rs",
        "picture_ui",
        "one part of a page, control by control",
    ),
    (
        "app/pages/cabinet.rs",
        "row_ui",
        "one part of a page, control by control",
    ),
    (
        "app/pages/intake.rs",
        "photo_ui",
        "one part of a page, control by control",
    ),
    (
        "app/pages/sheet/preview.rs",
        "preview_ui",
        "one part of a page, control by control",
    ),
    ("app/shell/apply.rs", "apply", "still to be split"),
    ("app/shell/deliver.rs", "take", "still to be split"),
    ("app/shell/snapping.rs", "snap", "still to be split"),
    ("crop/judge.rs", "zone_quality", "still to be split"),
    ("geometry/fit.rs", "refine", "still to be split"),
    ("headless/crops.rs", "crops", "still to be split"),
    ("headless/rim.rs", "find", "still to be split"),
    ("photo/format.rs", "recognise", "still to be split"),
    ("photo/jpeg.rs", "decode", "still to be split"),
    ("photo/sharpness.rs", "measure", "still to be split"),
    ("reference/edit/rename.rs", "rename", "still to be split"),
    ("reference/validate/pairings.rs", "check", "still to be split"),
    ("sheet/page_features.rs", "state_words", "still to be split"),
    ("sheet/page_summary.rs", "outcome", "still to be split"),
    ("sheet/page_tables.rs", "one_alignment", "still to be split"),
    (
        "specimen/landmarks_table.rs",
        "parse_landmarks_table",
        "still to be split",
    ),
];
