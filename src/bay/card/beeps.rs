//! The beeps as the card explains them, with a figure of the card itself worked out.

use super::{Row, usable};
use crate::trade::beep_code::Counts;
use crate::trade::units::LineUnit;

const CODE: &str = "Beeps: a rise of three notes; then low and long ones, 100 ml each; high and short \
    ones, 10 ml each; the highest and shortest, 1 ml each. They come in fives; what is zero is left \
    out. Two notes down: that was all. The rise alone: look at the screen.";

const SIGNALS: &str = "Two notes up: done. Three notes down: taken back. One note twice: calibration \
    due. To and fro: overdue. Low and falling, twice: no figure, do not fill.";

/// What the beeps mean; the example is the first figure of the card that can be beeped.
pub(super) fn lines(rows: &[Row]) -> Vec<String> {
    // Beeps count millilitres: what is poured in another unit is not beeped.
    let beeped = |row: &&Row| usable(row) && row.unit == LineUnit::Metric;
    let example = rows.iter().filter(beeped).find_map(|row| {
        let product = row.pour?.product;
        Some(format!(
            "{}, {}: {} is {}.",
            row.sprayer.1,
            row.chemical.1,
            product.shown(),
            Counts::of(product)?.shown()
        ))
    });
    [Some(CODE.to_owned()), example, Some(SIGNALS.to_owned())]
        .into_iter()
        .flatten()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::RowState;
    use super::*;
    use crate::trade::chemical::Order;
    use crate::trade::dilution::Dose;
    use crate::trade::fill_plan::InBand;
    use crate::trade::reminder::{Standing, VoidCause};
    use crate::trade::units::Volume;

    fn row(product: f64, standing: Standing) -> Row {
        Row {
            sprayer: ("s".into(), "Lance".into()),
            chemical: ("c".into(), "Wax".into()),
            wanted: None,
            fill: Volume::ml(20_000.0),
            dose: None,
            pour: Some(Dose {
                product: Volume::ml(product),
                water: Volume::ml(1000.0),
            }),
            measure: None,
            unit: LineUnit::Metric,
            coarse: None,
            poured_strength: None,
            in_band: InBand::NoBand,
            order: Order::ProductFirst,
            ratio: None,
            reach: None,
            correction: None,
            set: None,
            state: RowState::Standing(standing),
        }
    }

    #[test]
    fn the_example_is_a_figure_that_applies_and_can_be_beeped() {
        let rows = [
            row(120.0, Standing::Void(VoidCause::Nozzle)),
            row(2.5, Standing::Good),
            row(4000.0, Standing::Good),
            row(1250.0, Standing::Due),
        ];
        let told = lines(&rows);
        assert_eq!(told.len(), 3);
        assert_eq!(told[1], "Lance, Wax: 1.25 L is 12 low (2 × 5 + 2), 5 high.");
        assert_eq!(lines(&rows[..3]).len(), 2, "no example that is not true");
        let ounces = Row {
            unit: LineUnit::UsFluidOunce,
            ..row(1250.0, Standing::Good)
        };
        assert_eq!(lines(&[ounces]).len(), 2, "no ounce is beeped");
    }
}
