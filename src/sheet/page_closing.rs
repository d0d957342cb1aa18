//! The last part: cautions, how to read the sheet, and the rights in the plates.

use super::block::Block;
use super::content::SheetContent;
use super::marks;
use super::paginate::Pages;
use super::style::{BODY, LABEL, LIVE_WIDTH, SMALL};
use crate::specimen::{CannotTell, Ruling};

/// What every sheet says, whatever the set.
const CAUTIONS: [&str; 5] = [
    "This attribution is an opinion formed from photographs. It is not an authentication, a grade or an appraisal.",
    "For authenticity, grade and value ask a professional grader or authenticator who has the coin in hand.",
    "The standing knows the dies and pairings that the reference set lists. A die or pairing that the set does not \
     know, and a copy made from a genuine coin, can look like a listed one.",
    "Finds, heritage, export and sale of coins are subject to law that differs from place to place: follow the law \
     where the coin was found, where it is and where it goes.",
    "Probabilities and the likelihood ratio rest on the reliability that the set\u{2019}s author gave each feature, and \
     on the verdicts being given with care.",
];

pub(super) fn closing(pages: &mut Pages, content: &SheetContent) {
    pages.heading("Cautions", 20.0);
    let coin = content.coin_cautions.iter().map(|c| format!("On this coin: {c}"));
    let own = coin.chain(CAUTIONS.iter().map(|c| (*c).to_owned()));
    let from_set = content
        .cautions
        .iter()
        .map(|c| format!("From the reference set: {c}"));
    for caution in own.chain(from_set) {
        pages.hung("\u{2022}", 3.5, LIVE_WIDTH, &caution, &BODY);
        pages.gap(0.6);
    }
    pages.heading("How to read this sheet", 24.0);
    pages.place(verdict_key());
    pages.gap(1.2);
    for line in [
        "An enlargement such as 8\u{d7} is exact on paper when the file is printed at 100 % (\u{2018}actual \
         size\u{2019}); check it on the bar at the foot of each page.",
        "A value after \u{b1} beside a crop is the 95 % radius of the zone\u{2019}s place; after a measured value, half its \
         95 % interval.",
        "The likelihood ratio says how many times more probable the facts and verdicts are if the named pairing struck \
         the coin than if the next best listed pairing did. Words for it: ENFSI Guideline for Evaluative Reporting in \
         Forensic Science, 2015.",
    ] {
        pages.paragraph(0.0, LIVE_WIDTH, line, &SMALL);
        pages.gap(0.6);
    }
    credits(pages, content);
}

fn verdict_key() -> Block {
    let mut block = Block::default();
    let words = [
        (Some(Ruling::Agrees), "Agrees: the coin shows this state"),
        (Some(Ruling::Differs), "Differs: the coin does not"),
        (Some(Ruling::CannotTell(CannotTell::Wear)), "Cannot tell, and why"),
        (None, "No verdict given"),
    ];
    let mut x = 0.0;
    let r = marks::MARK_RADIUS;
    for (ruling, text) in words {
        marks::verdict(&mut block, (x + r, SMALL.leading / 2.0), ruling);
        x += 2.0 * r + 1.4;
        x += block.text(x, 0.0, text, &SMALL) + 7.0;
    }
    block
}

/// Where the plates come from, each source once.
fn credits(pages: &mut Pages, content: &SheetContent) {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    for plate in content
        .features
        .iter()
        .flat_map(|f| f.states.iter().filter_map(|s| s.plate.as_ref()))
        .filter(|p| p.crop.is_ok() && !p.credit.is_empty())
    {
        match lines.iter_mut().find(|(credit, _)| credit == &plate.credit) {
            Some((_, dies)) if dies.contains(&plate.die) => {}
            Some((_, dies)) => dies.push(plate.die.clone()),
            None => lines.push((plate.credit.clone(), vec![plate.die.clone()])),
        }
    }
    if lines.is_empty() {
        return;
    }
    pages.heading("Plates", 12.0);
    for (credit, dies) in lines {
        pages.paragraph(0.0, LIVE_WIDTH, &format!("{}: {credit}", dies.join("; ")), &LABEL);
    }
}
