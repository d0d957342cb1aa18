//! Reading pictures and cutting crops, against what independent programs make of the same files. The files and
//! reference values come from `tests/scripts/make_picture_cases.py`.

#![expect(clippy::unwrap_used, reason = "tests fail by panicking")]

use std::ops::Deref;
use std::path::{Path, PathBuf};

use dietell::crop::{
    CanJudge, CropFrame, Kernel, SQUARE_PIXELS_FROM, Shortcoming, cut, cut_picture, view_picture,
    zone_quality,
};
use dietell::geometry::{PictureFromSide, PicturePoint, SidePoint};
use dietell::photo::{
    Level, PhotoError, Picture, PictureNote, ReadLimits, Watch, edge_blur, luma, read_picture,
    read_picture_file,
};
use dietell::reference::{Zone, ZoneId};
use image::{GrayImage, ImageBuffer, Luma, Rgb, RgbImage, RgbaImage};
use nalgebra::Matrix3;
use proptest::prelude::*;

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/pictures")
        .join(name)
}

fn bytes_of(name: &str) -> Vec<u8> {
    std::fs::read(data(name)).unwrap()
}

/// The picture at full size.
fn full(picture: &Picture) -> &Level {
    &picture.levels()[0]
}

/// The picture at full size in grey.
fn grey(picture: &Picture) -> GrayImage {
    let full = full(picture);
    GrayImage::from_fn(full.width(), full.height(), |x, y| {
        Luma([luma(full.get_pixel(x, y).0)])
    })
}

fn open(name: &str) -> Picture {
    read_picture_file(&data(name), &ReadLimits::default(), &Watch::default()).unwrap()
}

fn read_bytes(bytes: &[u8]) -> Result<Picture, PhotoError> {
    read_picture(
        Path::new("given.jpg"),
        bytes,
        &ReadLimits::default(),
        &Watch::default(),
    )
}

/// The reference pictures are plain 8-bit RGB PNG without a profile.
fn reference(name: &str) -> RgbImage {
    image::open(data(name)).unwrap().into_rgb8()
}

/// The greatest difference of any channel, in levels of 255.
fn greatest_difference(
    a: &ImageBuffer<Rgb<u8>, impl Deref<Target = [u8]>>,
    b: &ImageBuffer<Rgb<u8>, impl Deref<Target = [u8]>>,
) -> u8 {
    assert_eq!(a.dimensions(), b.dimensions());
    a.iter().zip(b.iter()).map(|(a, b)| a.abs_diff(*b)).max().unwrap()
}

// ---- reading: turn flags, colours, kinds -----------------------------------------------------------------------

#[test]
fn all_eight_turn_flags_come_upright() {
    let upright = reference("turn_upright.png");
    for flag in 1..=8 {
        let seen = open(&format!("turn_{flag}.jpg"));
        let difference = greatest_difference(full(&seen), &upright);
        assert!(difference <= 3, "flag {flag}: {difference} levels");
    }
    for name in ["turn_6.png", "turn_6.webp", "turn_6.tif"] {
        assert_eq!(greatest_difference(full(&open(name)), &upright), 0, "{name}");
    }
}

#[test]
fn colour_profiles_agree_with_littlecms() {
    for (name, truth) in [
        ("colour_display_p3.png", "colour_display_p3.srgb.png"),
        ("colour_adobe_rgb.png", "colour_adobe_rgb.srgb.png"),
        ("colour_grey.png", "colour_grey.srgb.png"),
        ("colour_in_jpeg.jpg", "colour_in_jpeg.srgb.png"),
        ("colour_in_tiff.tif", "colour_in_tiff.srgb.png"),
        ("colour_in_webp.webp", "colour_in_tiff.srgb.png"),
    ] {
        let seen = open(name);
        let difference = greatest_difference(full(&seen), &reference(truth));
        println!("{name}: {difference} levels from LittleCMS at most");
        assert!(difference <= 2, "{name}: {difference} levels");
        assert!(seen.notes().is_empty());
    }
}

#[test]
fn a_profile_that_cannot_be_used_is_said_and_costs_no_picture() {
    let plain = reference("colour_broken_profile.png");
    for name in ["colour_broken_profile.png", "colour_profile_of_grey.png"] {
        let seen = open(name);
        assert_eq!(seen.notes(), [PictureNote::BrokenProfile], "{name}");
        assert_eq!(greatest_difference(full(&seen), &plain), 0);
    }
}

#[test]
fn every_depth_and_kind_of_pixel_is_read() {
    let ramp = reference("kind_rgb8.png");
    for name in ["kind_rgb16.png", "kind_rgb16.tif"] {
        assert_eq!(greatest_difference(full(&open(name)), &ramp), 0, "{name}");
    }
    let grey = open("kind_grey8.png");
    assert_eq!(
        greatest_difference(full(&open("kind_grey16.png")), full(&grey)),
        0
    );
    assert_eq!(grey.pixel(15, 0), Some([255; 3]));
    assert_eq!(grey.pixel(16, 0), None);
    assert_eq!(
        greatest_difference(
            full(&open("kind_palette.png")),
            &reference("kind_palette.rgb.png")
        ),
        0
    );
    // Alpha on white, against Pillow's alpha_composite.
    assert!(greatest_difference(full(&open("kind_alpha.png")), &reference("kind_alpha.rgb.png")) <= 1);
    let print = open("kind_cmyk.jpg");
    assert_eq!(print.notes(), [PictureNote::PrintColours]);
    assert!(greatest_difference(full(&print), &reference("kind_cmyk.rgb.png")) <= 4);
}

// ---- reading: bad input ----------------------------------------------------------------------------------------

#[test]
fn files_that_are_no_pictures_are_each_named_for_what_they_are() {
    let folder = tempfile::tempdir().unwrap();
    let read = |path: &Path| read_picture_file(path, &ReadLimits::default(), &Watch::default()).unwrap_err();
    let missing = folder.path().join("gone.jpg");
    assert!(matches!(read(&missing), PhotoError::Missing { .. }));
    assert!(read(&missing).to_string().contains("gone.jpg"));
    assert!(matches!(read(folder.path()), PhotoError::NotAFile { .. }));
    let put = |name: &str, content: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, content).unwrap();
        path
    };
    assert!(matches!(read(&put("empty.jpg", b"")), PhotoError::Empty { .. }));
    let text = read(&put("letter.jpg", b"Dear collector, the picture follows."));
    assert!(matches!(text, PhotoError::NotAPicture { found: "text", .. }));
    assert!(text.to_string().contains("letter.jpg"));
    let heic = read(&put("phone.jpg", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"));
    assert!(matches!(heic, PhotoError::OtherKind { kind: "HEIC", .. }));
    assert!(heic.to_string().contains("save it as JPEG"));
    assert!(matches!(
        read(&put("raw.tif", b"II*\0\x10\0\0\0CR\x02\0")),
        PhotoError::OtherKind { .. }
    ));
    // A picture with a wrong ending is still a picture.
    let picture = put("picture.txt", &bytes_of("whole.png"));
    assert!(read_picture_file(&picture, &ReadLimits::default(), &Watch::default()).is_ok());
    let few = ReadLimits {
        most_bytes: 1000,
        ..ReadLimits::default()
    };
    let error = read_picture_file(&data("whole.jpg"), &few, &Watch::default()).unwrap_err();
    assert!(matches!(error, PhotoError::TooManyBytes { .. }));
}

#[test]
fn a_picture_cut_short_is_refused_wherever_the_cut_falls() {
    for name in [
        "whole.jpg",
        "whole_progressive.jpg",
        "whole.png",
        "whole.webp",
        "whole.tif",
    ] {
        let whole = bytes_of(name);
        assert!(read_bytes(&whole).is_ok(), "{name}");
        for share in [0.02, 0.1, 0.3, 0.6, 0.9, 0.99] {
            let short = &whole[..(whole.len() as f64 * share) as usize];
            match read_bytes(short) {
                Err(
                    PhotoError::Truncated { .. }
                    | PhotoError::Damaged { .. }
                    | PhotoError::SizeMismatch { .. },
                ) => {}
                Err(PhotoError::NotAPicture { .. }) if short.len() < 16 => {}
                other => panic!("{name} cut at {share}: {other:?}"),
            }
        }
    }
    let short = &bytes_of("whole.jpg")[..3000];
    let error = read_bytes(short).unwrap_err();
    assert!(matches!(error, PhotoError::Truncated { .. }), "{error}");
}

/// Where the frame header of a baseline JPEG states height and width, each 2 bytes.
fn jpeg_size_at(bytes: &[u8]) -> usize {
    bytes.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap() + 5
}

#[test]
fn a_jpeg_that_lies_about_its_size_is_refused() {
    let mut lying = bytes_of("whole.jpg");
    let at = jpeg_size_at(&lying);
    // 200 x 150 says it is 200 x 600: the data end early.
    lying[at..at + 2].copy_from_slice(&600u16.to_be_bytes());
    let error = read_bytes(&lying).unwrap_err();
    assert!(
        matches!(
            error,
            PhotoError::SizeMismatch { .. } | PhotoError::Damaged { .. }
        ),
        "{error}"
    );
    // 10,000 x 10,000 in 5 kB is refused before anything of that size is allocated.
    lying[at..at + 4].copy_from_slice(&[0x27, 0x10, 0x27, 0x10]);
    let error = read_bytes(&lying).unwrap_err();
    assert!(
        matches!(
            error,
            PhotoError::SizeMismatch {
                width: 10000,
                height: 10000,
                ..
            }
        ),
        "{error}"
    );
    // Over the limit on pixels.
    lying[at..at + 4].copy_from_slice(&[0xFF, 0xFF, 0xFF, 0xFF]);
    let error = read_bytes(&lying).unwrap_err();
    assert!(matches!(error, PhotoError::TooManyPixels { .. }), "{error}");
}

/// A PNG of the stated size whose data are one empty chunk.
fn png_header(width: u32, height: u32) -> Vec<u8> {
    let mut out = b"\x89PNG\r\n\x1A\n".to_vec();
    let mut chunk = |name: &[u8; 4], content: &[u8]| {
        out.extend(u32::try_from(content.len()).unwrap().to_be_bytes());
        let mut body = name.to_vec();
        body.extend(content);
        // CRC-32 of the PNG specification, annex D.
        let crc = !body.iter().fold(!0u32, |crc, b| {
            (0..8).fold(crc ^ u32::from(*b), |c, _| {
                if c & 1 == 1 {
                    0xEDB8_8320 ^ (c >> 1)
                } else {
                    c >> 1
                }
            })
        });
        out.extend(&body);
        out.extend(crc.to_be_bytes());
    };
    let mut header = width.to_be_bytes().to_vec();
    header.extend(height.to_be_bytes());
    header.extend([8, 2, 0, 0, 0]);
    chunk(b"IHDR", &header);
    chunk(b"IDAT", &[]);
    chunk(b"IEND", &[]);
    out
}

#[test]
fn a_huge_png_header_is_refused_by_its_header_alone() {
    let error = read_bytes(&png_header(60_000, 60_000)).unwrap_err();
    assert!(
        matches!(
            error,
            PhotoError::TooManyPixels {
                width: 60_000,
                height: 60_000,
                ..
            }
        ),
        "{error}"
    );
    assert!(read_bytes(&png_header(8, 8)).is_err());
}

#[test]
fn reading_reports_and_can_be_cancelled() {
    let watch = Watch::default();
    read_picture_file(&data("whole.jpg"), &ReadLimits::default(), &watch).unwrap();
    assert!(watch.progress() >= 1.0);
    let watch = Watch::default();
    watch.cancel();
    let error = read_picture_file(&data("whole.jpg"), &ReadLimits::default(), &watch).unwrap_err();
    assert!(matches!(error, PhotoError::Cancelled { .. }));
    let error = read_picture(
        Path::new("a.png"),
        &bytes_of("whole.png"),
        &ReadLimits::default(),
        &watch,
    )
    .unwrap_err();
    assert!(matches!(error, PhotoError::Cancelled { .. }));
}

// ---- crops -----------------------------------------------------------------------------------------------------

#[test]
fn crops_agree_with_opencv_on_a_smooth_picture() {
    // OpenCV's cubic is Keys's with a = -3/4 and ours with a = -1/2: on a picture without fine detail they differ by
    // little. Its border pixels are blended with black; those within 3 px of the border are left out.
    const TOLERANCE_LEVELS: u8 = 2;
    let picture = open("warp_picture.png");
    let (w, h) = (f64::from(picture.width()), f64::from(picture.height()));
    let table = std::fs::read_to_string(data("warps.csv")).unwrap();
    for line in table.lines() {
        let (name, numbers) = line.split_once(',').unwrap();
        let numbers: Vec<f64> = numbers.split(',').map(|n| n.parse().unwrap()).collect();
        let matrix = Matrix3::from_row_slice(&numbers);
        let ours = cut_picture(&picture, &matrix, 96, 80, Kernel::Cubic);
        let truth = reference(&format!("warp_{name}.png"));
        let (mut worst, mut compared) = (0, 0);
        for (x, y, pixel) in ours.enumerate_pixels() {
            let p = matrix * nalgebra::Vector3::new(f64::from(x), f64::from(y), 1.0);
            let (u, v) = (p.x / p.z, p.y / p.z);
            let inside = u >= -0.5 && v >= -0.5 && u <= w - 0.5 && v <= h - 0.5;
            assert_eq!(pixel.0[3], if inside { 255 } else { 0 }, "{name} at {x}, {y}");
            if u > 3.0 && v > 3.0 && u < w - 4.0 && v < h - 4.0 {
                compared += 1;
                let difference = (0..3)
                    .map(|c| pixel.0[c].abs_diff(truth.get_pixel(x, y).0[c]))
                    .max()
                    .unwrap();
                worst = worst.max(difference);
            }
        }
        println!("{name}: {worst} levels from OpenCV at most, over {compared} px");
        assert!(
            compared > 3000 && worst <= TOLERANCE_LEVELS,
            "{name}: {worst} levels over {compared} px"
        );
    }
}

/// A picture whose value is known at every place, in px of full size.
fn drawn(width: u32, height: u32, value: impl Fn(f64, f64) -> f64) -> Picture {
    Picture::new(RgbImage::from_fn(width, height, |x, y| {
        let v = value(f64::from(x), f64::from(y)).round().clamp(0.0, 255.0) as u8;
        Rgb([v, v, v])
    }))
}

#[test]
fn shrinking_does_not_alias() {
    // A zone plate: spatial frequency grows with the distance from the middle to 0.5 cycles/px at the border. Shrunk by
    // `step`, everything beyond 0.5 / step cycles/px must be grey; an aliasing sampler gives full contrast there.
    let size = 512u32;
    let middle = f64::from(size) / 2.0 - 0.5;
    let plate = drawn(size, size, |x, y| {
        let r2 = (x - middle).powi(2) + (y - middle).powi(2);
        128.0 + 120.0 * (std::f64::consts::PI * 0.5 / middle * r2).cos()
    });
    for (step, most) in [
        (1.5, 0.17),
        (1.95, 0.17),
        // Here the box mean of the pyramid works alone.
        (2.0, 0.35),
        (3.0, 0.17),
        (5.3, 0.17),
    ] {
        let n = (f64::from(size) / step) as u32;
        let shift = step / 2.0 - 0.5;
        let matrix = Matrix3::new(step, 0.0, shift, 0.0, step, shift, 0.0, 0.0, 1.0);
        let small = cut_picture(&plate, &matrix, n, n, Kernel::Cubic);
        // RMS about the mean where the frequency is 1.4 times the limit and more, as a share of the pattern's own RMS.
        let beyond: Vec<f64> = small
            .enumerate_pixels()
            .filter(|(x, y, _)| {
                let (u, v) = (
                    f64::from(*x) * step + shift - middle,
                    f64::from(*y) * step + shift - middle,
                );
                let frequency = 0.5 / middle * u.hypot(v);
                frequency > 1.4 * 0.5 / step && u.hypot(v) < middle
            })
            .map(|(_, _, p)| f64::from(p.0[0]))
            .collect();
        let mean = beyond.iter().sum::<f64>() / beyond.len() as f64;
        let rms = (beyond.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / beyond.len() as f64).sqrt();
        let share = rms / (120.0 / 2f64.sqrt());
        println!("step {step}: {share:.3} of the contrast left beyond the limit");
        assert!(share < most, "step {step}: {share:.3}");
    }
}

#[test]
fn every_scale_puts_a_point_where_it_belongs() {
    // A broad Gaussian blob; its centre of mass in the crop must be where the frame says, at every pyramid level.
    let (cx, cy) = (301.3, 248.8);
    let blob = drawn(640, 480, |x, y| {
        250.0 * (-((x - cx).powi(2) + (y - cy).powi(2)) / (2.0 * 20.0f64.powi(2))).exp()
    });
    let picture_from_side = PictureFromSide::similarity(40.0, 30.0, PicturePoint::new(320.0, 240.0)).unwrap();
    let place = picture_from_side.point_on_side(PicturePoint::new(cx, cy));
    for px_per_mm in [120.0, 57.0, 40.0, 33.0, 20.0, 9.7, 6.0] {
        let side = (6.0 * px_per_mm) as u32;
        let frame = CropFrame {
            centre: SidePoint::new(-0.2, 0.3),
            px_per_mm,
            rotation_deg: -17.0,
            width_px: side,
            height_px: side,
        };
        let crop = cut(&blob, &picture_from_side, &frame);
        let expected = frame.point_in_crop(place);
        let (mut sum, mut sx, mut sy) = (0.0, 0.0, 0.0);
        for (x, y, p) in crop.pixels.enumerate_pixels() {
            let v = f64::from(p.0[0]);
            (sum, sx, sy) = (sum + v, sx + v * f64::from(x), sy + v * f64::from(y));
        }
        let off = (sx / sum - expected.x).hypot(sy / sum - expected.y);
        // In crop px; 1/20 px is a tenth of what a hand places a landmark to.
        assert!(off < 0.05, "at {px_per_mm} px/mm off by {off:.3} px");
    }
}

#[test]
fn a_crop_reaches_to_the_border_and_no_further() {
    let picture = drawn(40, 30, |_, _| 77.0);
    let shifted = Matrix3::new(1.0, 0.0, -5.0, 0.0, 1.0, -5.0, 0.0, 0.0, 1.0);
    for kernel in [Kernel::Nearest, Kernel::Cubic] {
        let seen: RgbaImage = cut_picture(&picture, &shifted, 60, 50, kernel);
        for (x, y, p) in seen.enumerate_pixels() {
            let inside = (5..45).contains(&x) && (5..35).contains(&y);
            assert_eq!(
                p.0,
                if inside { [77, 77, 77, 255] } else { [0; 4] },
                "{kernel:?} at {x}, {y}"
            );
        }
    }
    // Transforms without sense give empty crops and no panic.
    for m in [
        Matrix3::zeros(),
        Matrix3::from_element(f64::NAN),
        Matrix3::from_element(1e300),
    ] {
        let seen = cut_picture(&picture, &m, 8, 8, Kernel::Cubic);
        assert_eq!(seen.dimensions(), (8, 8));
    }
}

#[test]
fn far_magnified_views_show_square_pixels() {
    let picture = drawn(16, 16, |x, y| if (x + y) % 2.0 == 0.0 { 255.0 } else { 0.0 });
    let step = 1.0 / (2.0 * SQUARE_PIXELS_FROM);
    let matrix = Matrix3::new(step, 0.0, 0.0, 0.0, step, 0.0, 0.0, 0.0, 1.0);
    let view = view_picture(&picture, &matrix, 160, 160);
    assert!(view.pixels().all(|p| p.0[0] == 0 || p.0[0] == 255));
    let matrix = Matrix3::new(0.5, 0.0, 0.0, 0.0, 0.5, 0.0, 0.0, 0.0, 1.0);
    let view = view_picture(&picture, &matrix, 30, 30);
    assert!(view.pixels().any(|p| p.0[0] != 0 && p.0[0] != 255));
}

#[test]
fn a_photograph_of_real_coins_opens_and_crops_true_to_scale() {
    // The photograph of 24 ancient coins that ships with scikit-image.
    let coins = open("coins.png");
    assert_eq!((coins.width(), coins.height()), (384, 303));
    // Two points 64 px apart, said to be 8 mm apart, give 8 px/mm; a crop at 16 px/mm shows the same two points 128 px
    // apart, and the same light and dark as the photo there.
    let picture_from_side = PictureFromSide::similarity(8.0, 0.0, PicturePoint::new(192.0, 151.0)).unwrap();
    let frame = CropFrame {
        centre: SidePoint::new(0.0, 0.0),
        px_per_mm: 16.0,
        rotation_deg: 0.0,
        width_px: 301,
        height_px: 301,
    };
    let crop = cut(&coins, &picture_from_side, &frame);
    let a = frame.point_in_crop(picture_from_side.point_on_side(PicturePoint::new(160.0, 120.0)));
    let b = frame.point_in_crop(picture_from_side.point_on_side(PicturePoint::new(224.0, 120.0)));
    assert!((a.distance_to(b) - 128.0).abs() < 1e-9);
    // At crop px that fall on photo px the cubic gives the photo's own value back.
    let mut compared = 0;
    for (x, y) in (130i32..250).flat_map(|x| (100i32..200).map(move |y| (x, y))) {
        let p = frame
            .point_in_crop(picture_from_side.point_on_side(PicturePoint::new(f64::from(x), f64::from(y))));
        let (u, v) = (p.x.round(), p.y.round());
        if (p.x - u).abs() < 1e-9 && (p.y - v).abs() < 1e-9 {
            let here = crop.pixels.get_pixel(u as u32, v as u32).0[0];
            assert_eq!(
                Some([here; 3]),
                coins.pixel(x.into(), y.into()),
                "photo px {x}, {y}"
            );
            compared += 1;
        }
    }
    assert!(compared > 1000);
}

// ---- sharpness, and whether a zone can be judged ---------------------------------------------------------------

#[test]
fn measured_blur_is_the_blur_that_scipy_made() {
    // Polygons blurred by SciPy's gaussian_filter and meaned down to pixels, whose own box adds a variance of 1/12.
    for (blur, tolerance) in [
        (0.7f64, 0.1),
        (1.0, 0.1),
        (1.5, 0.1),
        (2.0, 0.12),
        (3.0, 0.12),
        (4.5, 0.3),
    ] {
        let picture = open(&format!("blur_{blur:.1}.png"));
        let found = edge_blur(&grey(&picture)).unwrap();
        let truth = (blur * blur + 1.0 / 12.0).sqrt();
        let error = found.sigma_px / truth - 1.0;
        println!(
            "{truth:.2} px: found {:.2} ({:+.0} %), sharper third {:.2}",
            found.sigma_px,
            error * 100.0,
            found.sharpest_px
        );
        assert!(
            error.abs() < tolerance,
            "{truth:.2} px: found {:.2}",
            found.sigma_px
        );
        assert!(found.sharpest_px <= found.sigma_px);
    }
    let flat = drawn(120, 120, |x, y| {
        120.0 + ((x * 12.9898 + y * 78.233).sin() * 43758.5453).fract()
    });
    assert_eq!(edge_blur(&grey(&flat)), None);
}

fn zone(telling_detail_mm: f64) -> Zone {
    Zone {
        id: ZoneId::from("z"),
        title: "a zone".into(),
        centre_mm: SidePoint::new(0.0, 0.0),
        size_mm: (3.0, 3.0),
        height: None,
        telling_detail_mm,
    }
}

#[test]
fn a_zone_says_what_it_cannot_show_and_why() {
    let at = |picture: &Picture, px_per_mm: f64, detail: f64| {
        let centre = PicturePoint::new(
            f64::from(picture.width()) / 2.0,
            f64::from(picture.height()) / 2.0,
        );
        zone_quality(
            picture,
            &PictureFromSide::similarity(px_per_mm, 20.0, centre).unwrap(),
            &zone(detail),
        )
    };
    // Blur of 1.0 px at 40 px/mm: (2^2 + 2.4^2)^0.5 px, or about 0.08 mm.
    let sharp = open("blur_1.0.png");
    let good = at(&sharp, 40.0, 0.15);
    assert_eq!(
        (good.can_judge, good.shortcomings.len()),
        (CanJudge::Enough, 0),
        "{good:?}"
    );
    assert!((0.05..0.09).contains(&good.effective_resolution_mm), "{good:?}");
    assert_eq!(at(&sharp, 40.0, 0.09).can_judge, CanJudge::Marginal);
    // The same zone at 10 px/mm: its detail is 1.5 px wide.
    let small = at(&sharp, 10.0, 0.15);
    assert_eq!(small.can_judge, CanJudge::Cannot);
    assert!(matches!(small.shortcomings[0], Shortcoming::Scale { needs, .. } if (needs - 20.0).abs() < 1e-9));
    // Enough pixels, but blurred.
    let soft = at(&open("blur_4.5.png"), 40.0, 0.15);
    assert_eq!(soft.can_judge, CanJudge::Cannot);
    assert!(
        matches!(soft.shortcomings[..], [Shortcoming::Blur { .. }]),
        "{soft:?}"
    );
    // Glare, shadow, border.
    let glare = drawn(160, 160, |x, _| if x < 80.0 { 255.0 } else { 0.0 });
    let lost = at(&glare, 40.0, 0.15);
    assert!(lost.clipped_share > 0.4 && lost.dark_share > 0.4 && lost.can_judge == CanJudge::Cannot);
    let outside = at(&sharp, 80.0, 0.15);
    assert!((0.4..0.7).contains(&outside.outside_share), "{outside:?}");
    assert!(
        outside
            .shortcomings
            .iter()
            .any(|s| s.to_string().contains("outside the photo"))
    );
}

// ---- hostile bytes ---------------------------------------------------------------------------------------------

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is done to a picture's bytes, reading ends in a picture or a sentence, within the limits.
    #[test]
    fn mutated_bytes_never_panic(
        which in 0usize..9,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 0..12),
        keep in 0.0f64..1.3,
        early in any::<bool>(),
    ) {
        let name = [
            "whole.jpg", "whole_progressive.jpg", "whole.png", "whole.webp", "whole.tif", "kind_palette.png",
            "kind_cmyk.jpg", "colour_in_jpeg.jpg", "colour_in_tiff.tif",
        ][which];
        let mut bytes = bytes_of(name);
        // Headers are where a change does most.
        let reach = if early { bytes.len().min(600) } else { bytes.len() };
        for (at, value) in changes {
            let at = at.index(reach);
            bytes[at] = value;
        }
        bytes.truncate((bytes.len() as f64 * keep) as usize);
        let limits = ReadLimits { most_pixels: 1_000_000, most_bytes: 1_000_000 };
        match read_picture(Path::new("given.jpg"), &bytes, &limits, &Watch::default()) {
            Ok(picture) => prop_assert!(u64::from(picture.width()) * u64::from(picture.height()) <= limits.most_pixels),
            Err(error) => {
                let sentence = error.to_string();
                prop_assert!(sentence.contains("given.jpg") && sentence.ends_with('.') && !sentence.contains('\n'), "{}", sentence);
            }
        }
    }

    #[test]
    fn random_bytes_never_panic(head in 0usize..6, bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let heads: [&[u8]; 6] = [b"", b"\xFF\xD8\xFF", b"\x89PNG\r\n\x1A\n", b"II*\0", b"RIFF\0\0\0\0WEBP", b"MM\0*"];
        let bytes = [heads[head], &bytes].concat();
        prop_assert!(read_bytes(&bytes).is_err());
    }
}
