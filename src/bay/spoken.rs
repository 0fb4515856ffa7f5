//! Which announcement belongs to what the bay does. What it says is composed in `trade`.

use super::at_work::Bay;
use super::offer::Offer;
use crate::trade::announcement::{Announcement, FillToSay};
use crate::trade::chemical::Chemical;
use crate::trade::dilution::DrawFraction;
use crate::trade::fill_plan::Part;
use crate::trade::reminder::Standing;
use crate::trade::sprayer::Sprayer;

impl Bay {
    /// The announcement of a fill, or of why there is none.
    ///
    /// A void figure is not spoken, unless it was allowed for this fill.
    pub fn announce_fill(
        &self,
        sprayer: &Sprayer,
        chemical: &Chemical,
        part: Part,
    ) -> Announcement {
        self.announce(sprayer, chemical, part, false)
    }

    /// The same; `in_full` with the strength on the vehicle and the ratio in the container, for who
    /// asks.
    pub fn announce(
        &self,
        sprayer: &Sprayer,
        chemical: &Chemical,
        part: Part,
        in_full: bool,
    ) -> Announcement {
        let standing = match self.standing(sprayer) {
            // Put off: not to be heard.
            standing if standing.nags() && !self.nags(sprayer) => Standing::Good,
            standing => standing,
        };
        match self.offer_for(sprayer, chemical, part) {
            Offer::Rinse(first) => Announcement::rinse(sprayer, first.never.is_some()),
            Offer::Uncalibrated => Announcement::uncalibrated(sprayer),
            Offer::Void { cause, .. } => Announcement::void(sprayer, cause),
            Offer::OutOfReach { strongest, .. } => Announcement::out_of_reach(sprayer, strongest),
            Offer::Unmeasurable { .. } => Announcement::unmeasurable(sprayer),
            Offer::AboveBand { lands, .. } => {
                Announcement::do_not_use(sprayer, chemical, lands, None)
            }
            Offer::Fill(plan) => Announcement::fill(&FillToSay {
                sprayer,
                chemical,
                dose: plan.pour.dose,
                // Heard only where it is not what it should be.
                check: (plan.pour.in_band.is_outside() || plan.coarse)
                    .then_some(plan.pour.strength),
                // Nobody knows what a void figure comes to.
                asked: (in_full && !matches!(standing, Standing::Void(_)))
                    .then_some((plan.pour.strength, plan.ratio)),
                part,
                standing,
            })
            .in_unit(plan.pour.measure.unit()),
        }
    }

    pub(super) fn spoken_fill(&self) -> Announcement {
        self.announce_fill(self.sprayer(), self.chemical(), self.part())
    }

    pub(super) fn spoken_fill_in_full(&self) -> Announcement {
        self.announce(self.sprayer(), self.chemical(), self.part(), true)
    }

    /// The nag comes with each fill while the calibration is due or overdue.
    pub(super) fn spoken_filled(&self) -> Announcement {
        match self.nags(self.sprayer()) {
            true => self.spoken_standing(),
            false => Announcement::fill_logged(),
        }
    }

    pub(super) fn spoken_standing(&self) -> Announcement {
        Announcement::reminder(self.sprayer(), self.standing(self.sprayer()))
            .unwrap_or_else(|| self.spoken_fill())
    }

    pub(super) fn spoken_put_off(&self) -> Announcement {
        Announcement::put_off(self.setup().limits.put_off_washes)
    }

    pub(super) fn spoken_calibrated(&self) -> Announcement {
        self.spoken_draw(Announcement::calibrated)
    }

    pub(super) fn spoken_brought_back(&self) -> Announcement {
        self.spoken_draw(Announcement::brought_back)
    }

    fn spoken_draw(&self, of: fn(&Sprayer, DrawFraction) -> Announcement) -> Announcement {
        let sprayer = self.sprayer();
        match self
            .calibration(&sprayer.id)
            .and_then(|c| c.draw_fraction())
        {
            Some(draw) => of(sprayer, draw),
            None => self.spoken_fill(),
        }
    }
}
