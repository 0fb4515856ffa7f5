//! Fills, and what is told by its place among them: rinses and the stock.

use super::keys::WASHES;
use super::{Backup, Found, ML, Moment, Section};
use crate::bay::records::{Fill, FillHow, StockMove};
use crate::store::backup::contents::{KeptFill, KeptStock, Rinse};
use crate::store::records::stock::{self, MOST_CONTAINERS};
use crate::trade::units::{Strength, Unreadable, Volume};

const PERCENT: &str = "write the percentage, above 0 and at most 100, without quotes";

impl Backup<'_> {
    pub(super) fn fill(&mut self, mut section: Section<'_>) -> Option<KeptFill> {
        let at = self.at(&mut section, "at");
        let sprayer = self.sprayer(&mut section);
        let chemical = self.chemical(&mut section, "chemical");
        let fill = self.ml(&mut section, "fill_ml");
        let poured = self.ml(&mut section, "poured_ml");
        let water = self.ml(&mut section, "water_ml");
        section.required::<f64>(self.reader, "strength_percent", None, PERCENT);
        let strength = self.strength(&mut section);
        let standing = self.text(&mut section, "standing");
        let how = self.how(&mut section);
        let taken_back = self.mark(&mut section, "taken_back");
        section.finish(self.reader);
        Some(KeptFill {
            at: at?,
            fill: Fill {
                sprayer: sprayer?,
                chemical: chemical?,
                fill: fill?,
                poured: poured?,
                water: water?,
                strength: strength?,
                standing: standing?,
                how,
            },
            taken_back,
        })
    }

    fn how(&mut self, section: &mut Section<'_>) -> FillHow {
        let left = section.number(self.reader, "left_ml", ML);
        let product = section.number(self.reader, "left_product_ml", ML);
        let meant = section.number(self.reader, "meant_ml", ML);
        if let Some(alone) = product.as_ref().filter(|_| !section.has("left_ml")) {
            self.reader.at(
                alone,
                "left_product_ml is here without left_ml",
                "write left_ml too, all that was in it before, or leave both out",
            );
        }
        match (left, meant) {
            (Some(left), Some(_)) => {
                self.reader.at(
                    &left,
                    "left_ml and meant_ml are both here, and only one can be meant",
                    "write left_ml where something was in it before, or meant_ml where another \
                     dose was poured by mistake",
                );
                FillHow::Fresh
            }
            (Some(left), None) => self.topped_up(section, left.value, product),
            (None, Some(meant)) => FillHow::Mispoured {
                meant: Volume::ml(meant.value),
            },
            (None, None) => FillHow::Fresh,
        }
    }

    /// The product in what was left is needed: no left-over of this fill could be reckoned without.
    fn topped_up(
        &mut self,
        section: &Section<'_>,
        left: f64,
        product: Option<Found<f64>>,
    ) -> FillHow {
        const RIGHT: &str = "write how many ml of what was left were product, without quotes";
        if let Some(more) = product.as_ref().filter(|product| product.value > left) {
            let wrong = format!("{} ml of product were not in {left} ml", more.value);
            self.reader.at(more, wrong, RIGHT);
        }
        let product = self.must(section, "left_product_ml", product, RIGHT);
        FillHow::ToppedUp {
            left: Volume::ml(left),
            product: product.map_or(Volume::ZERO, Volume::ml),
        }
    }

    /// What stands behind `strength_percent`, if anything.
    pub(super) fn strength(&mut self, section: &mut Section<'_>) -> Option<Strength> {
        let percent = section.number(self.reader, "strength_percent", 0.0..=100.0)?;
        let strength = Strength::percent(percent.value);
        if strength.is_none() {
            self.reader.at(&percent, "0 is not a strength", PERCENT);
        }
        strength
    }

    pub(super) fn rinses(&mut self, top: &mut Section<'_>, fills: &[KeptFill]) -> Vec<Rinse> {
        let read = self.each(top, "rinse", |backup, mut section| {
            let at = backup.at(&mut section, "at");
            let sprayer = backup.sprayer(&mut section);
            let fills_before = backup.fills_before(&mut section, fills, at);
            let taken_back = backup.mark(&mut section, "taken_back");
            section.finish(backup.reader);
            Some(Rinse {
                at: at?,
                sprayer: sprayer?,
                fills_before,
                taken_back,
            })
        });
        never_back(read, |rinse| &mut rinse.fills_before)
    }

    pub(super) fn stock(&mut self, top: &mut Section<'_>, fills: &[KeptFill]) -> Vec<KeptStock> {
        let read = self.each(top, "stock", |backup, mut section| {
            let at = backup.at(&mut section, "at");
            let chemical = backup.chemical(&mut section, "chemical");
            let what = backup.stock_move(&mut section);
            let fills_before = backup.fills_before(&mut section, fills, at);
            let taken_back = backup.mark(&mut section, "taken_back");
            section.finish(backup.reader);
            Some(KeptStock {
                at: at?,
                chemical: chemical?,
                what: what?,
                fills_before,
                taken_back,
            })
        });
        never_back(read, |kept| &mut kept.fills_before)
    }

    fn stock_move(&mut self, section: &mut Section<'_>) -> Option<StockMove> {
        let right = format!("write one of \"{}\"", stock::WORDS.join("\", \""));
        let word = section.parsed(self.reader, "what", &right, |word| {
            let known = stock::WORDS.into_iter().find(|known| *known == word);
            known.ok_or_else(|| Unreadable {
                wrong: format!("\"{word}\" does not happen to a stock"),
                right: right.clone(),
            })
        });
        let word = self.must(section, "what", word, &right)?;
        let containers = |backup: &mut Self, section: &mut Section<'_>, least| {
            let found = section.whole(backup.reader, "containers", least..=MOST_CONTAINERS);
            let right = "write how many, as a whole number without quotes";
            backup.must(section, "containers", found, right)
        };
        match word {
            stock::DELIVERED => {
                let containers = containers(self, section, 0);
                let volume = self.some_ml(section, "ml");
                Some(StockMove::Delivered {
                    containers: containers?,
                    volume: volume?,
                })
            }
            stock::OPENED => Some(StockMove::Opened {
                containers: containers(self, section, 1)?,
            }),
            _ => Some(StockMove::Counted {
                volume: self.ml(section, "ml")?,
            }),
        }
    }

    /// The place among the fills: as told, or by the dates.
    pub(super) fn fills_before(
        &mut self,
        section: &mut Section<'_>,
        fills: &[KeptFill],
        at: Option<Moment>,
    ) -> usize {
        if let Some(told) = section.whole(self.reader, "fills_before", WASHES) {
            let before = told.value as usize;
            if before > fills.len() && self.fills_read {
                let only = match fills.len() {
                    1 => "there is only 1 fill here".to_owned(),
                    n => format!("there are only {n} fills here"),
                };
                self.reader.at(
                    &told,
                    only,
                    "count the [[fill]] entries that came before it, or leave fills_before out, \
                     so that the dates decide",
                );
            }
            return before;
        }
        let earlier = |at| fills.iter().rposition(|fill| fill.at <= at);
        at.and_then(earlier).map_or(0, |last| last + 1)
    }
}

/// What stands below another came after it.
pub(super) fn never_back<T>(
    mut list: Vec<T>,
    fills_before: impl Fn(&mut T) -> &mut usize,
) -> Vec<T> {
    let mut most = 0;
    for entry in &mut list {
        let before = fills_before(entry);
        most = most.max(*before);
        *before = most;
    }
    list
}
