//! A scene written out for another renderer: the solid as heights, the camera, the surroundings, and the true positions.

use std::fmt::Write as _;
use std::path::Path;

use serde_json::json;

use super::chance::Occasion;
use super::lamps::environment;
use super::photo::truth;
use crate::MintError;
use crate::parts::REACH_MM;

/// The surroundings' size in px.
const AROUND: (usize, usize) = (2048, 1024);

/// Writes `scene.json`, `heights.f32` and `around.f32` (single precision, little end first, row by row), and
/// `truth.csv` with the position of every landmark and zone at the surface, into a folder that is there.
///
/// # Errors
/// [`MintError`] where there is no such view or a file cannot be written.
pub fn write_scene(occasion: &Occasion, folder: &Path) -> Result<(), MintError> {
    let truth = truth(&occasion.coin, &occasion.camera)?;
    let (solid, pose) = (&truth.solid, &truth.pose);
    let rows = |m: &nalgebra::Matrix3<f64>| -> Vec<Vec<f64>> {
        m.row_iter().map(|row| row.iter().copied().collect()).collect()
    };
    let scene = json!({
        "size_px": [occasion.camera.size_px.0, occasion.camera.size_px.1],
        "focal_px": pose.focal_px,
        "middle_px": [pose.middle.0, pose.middle.1],
        "rotation": rows(&pose.rotation),
        "shift_mm": [pose.shift.x, pose.shift.y, pose.shift.z],
        "cells": solid.heights.size,
        "px_per_mm": solid.heights.px_per_mm,
        "reach_mm": REACH_MM,
        "ground_mm": solid.ground_mm,
        "around": [AROUND.0, AROUND.1],
        "wear": occasion.coin.options().wear,
        "backdrop": format!("{:?}", occasion.camera.backdrop),
        "tilt_deg": occasion.camera.tilt_deg,
        "elevation_deg": occasion.lighting.lamps.first().map(|l| l.elevation_deg),
        "design": occasion.coin.design().seed,
        "rim": truth.rim().map(|r| json!([r.centre.x, r.centre.y, r.long_px, r.short_px, r.turn_deg])),
    });
    let mut table = String::from("what,name,x_mm,y_mm,height_mm,x_px,y_px\n");
    let design = occasion.coin.design();
    let landmarks = design
        .landmarks
        .iter()
        .map(|l| ("landmark", l.name.to_string(), l.place_mm));
    let zones = design
        .zones
        .iter()
        .map(|z| ("zone", z.id.to_string(), z.centre_mm));
    for (what, name, p) in landmarks.chain(zones) {
        let (height, at) = (truth.height_mm(p), truth.at_surface(p));
        // Writing to a text cannot fail.
        let _ = writeln!(
            table,
            "{what},\"{name}\",{},{},{height:.5},{:.3},{:.3}",
            p.x, p.y, at.x, at.y
        );
    }
    let singles =
        |values: &mut dyn Iterator<Item = f32>| values.flat_map(f32::to_le_bytes).collect::<Vec<u8>>();
    let around = environment(&occasion.lighting, AROUND.0, AROUND.1);
    for (name, bytes) in [
        ("scene.json", scene.to_string().into_bytes()),
        ("heights.f32", singles(&mut solid.heights.cells.iter().copied())),
        ("around.f32", singles(&mut around.into_iter().flatten())),
        ("truth.csv", table.into_bytes()),
    ] {
        let path = folder.join(name);
        std::fs::write(&path, bytes).map_err(|e| MintError::Writing {
            path,
            why: e.to_string(),
        })?;
    }
    Ok(())
}
