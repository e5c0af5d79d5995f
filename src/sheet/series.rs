use serde::{Deserialize, Serialize};

use super::claim::Claim;
use super::comb::{Comb, Combs};
use super::{
    Numbering, ProductId, Replacement, Serial, SerialError, SerialFormat, SeriesId, grouped,
};

/// A replacement series as it is written down: numbers `first` to `last`, both included.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeriesSpec {
    pub id: SeriesId,
    pub product: ProductId,
    pub format: SerialFormat,
    pub first: u64,
    pub last: u64,
}

/// Why a replacement series cannot be set aside so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SeriesError {
    #[error(
        "Replacement series {id} starts at {} and ends before it, at {}. Give the lower number first.", grouped(*.first), grouped(*.last)
    )]
    Backwards { id: SeriesId, first: u64, last: u64 },
    #[error(
        "Replacement series {id} would reach number {}, but {width} digits end at {}. Give a lower last number or a wider serial format.", grouped(*.last), grouped(*.largest)
    )]
    Overflow {
        id: SeriesId,
        last: u64,
        width: u8,
        largest: u64,
    },
}

/// Replacement notes set aside for a product, drawn in rising order. Checked; never empty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "SeriesSpec", into = "SeriesSpec")]
pub struct Series {
    spec: SeriesSpec,
}

impl Series {
    pub fn new(spec: SeriesSpec) -> Result<Self, SeriesError> {
        let SeriesSpec {
            id, first, last, ..
        } = spec;
        if first > last {
            return Err(SeriesError::Backwards { id, first, last });
        }
        if last >= spec.format.capacity() {
            let (width, largest) = (spec.format.spec().width, spec.format.capacity() - 1);
            return Err(SeriesError::Overflow {
                id,
                last,
                width,
                largest,
            });
        }
        Ok(Self { spec })
    }

    pub fn spec(&self) -> &SeriesSpec {
        &self.spec
    }

    pub fn id(&self) -> SeriesId {
        self.spec.id
    }

    pub fn product(&self) -> ProductId {
        self.spec.product
    }

    pub fn format(&self) -> &SerialFormat {
        &self.spec.format
    }

    /// Notes in the series, at least 1.
    #[allow(clippy::len_without_is_empty)] // never empty
    pub fn len(&self) -> u64 {
        self.spec.last - self.spec.first + 1
    }

    /// The replacement note at a place of the series, from 0.
    pub fn serial(&self, place: u64) -> Option<Serial<Replacement>> {
        let number = self
            .spec
            .first
            .checked_add(place)
            .filter(|&n| n <= self.spec.last)?;
        Some(
            self.format()
                .serial(number)
                .expect("`new` checked the last number"),
        )
    }

    /// The place of a number in the series, from 0.
    pub fn place_of(&self, number: u64) -> Option<u64> {
        self.contains(number).then(|| number - self.spec.first)
    }

    pub fn contains(&self, number: u64) -> bool {
        (self.spec.first..=self.spec.last).contains(&number)
    }

    /// The place, from 0, of a typed or scanned serial. `Ok(None)`: a good serial of this format,
    /// but outside the series.
    pub fn find(&self, text: &str) -> Result<Option<u64>, SerialError> {
        self.format()
            .parse(text)
            .map(|number| self.place_of(number))
    }

    /// A range of serials that both series would use, if there is one.
    pub fn overlaps(&self, other: &Series) -> Option<(String, String)> {
        self.claim().clash(&other.claim())
    }

    /// A range of serials that a lot would print and this series uses, if there is one.
    pub fn overlaps_numbering(&self, numbering: &Numbering) -> Option<(String, String)> {
        self.claim().clash(&numbering.claim())
    }

    fn claim(&self) -> Claim<'_> {
        let comb = Comb::new(self.spec.first, self.len(), self.len(), 1);
        Claim::new(self.format(), &Combs::new([comb].into_iter()))
    }
}

impl TryFrom<SeriesSpec> for Series {
    type Error = SeriesError;

    fn try_from(spec: SeriesSpec) -> Result<Self, SeriesError> {
        Self::new(spec)
    }
}

impl From<Series> for SeriesSpec {
    fn from(series: Series) -> SeriesSpec {
        series.spec
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::sample::{format, layout};
    use crate::sheet::{NumberingSpec, Run};

    fn series(prefix: &str, width: u8, first: u64, last: u64) -> Result<Series, SeriesError> {
        let (id, product) = ("R1".parse().unwrap(), "M20".parse().unwrap());
        Series::new(SeriesSpec {
            id,
            product,
            format: format(prefix, width, ""),
            first,
            last,
        })
    }

    fn lot(prefix: &str, width: u8, first: u64) -> Numbering {
        let spec = NumberingSpec {
            format: format(prefix, width, ""),
            runs: vec![Run {
                stride: 100,
                ..Run::down_stack(50, first)
            }],
        };
        Numbering::new(spec, &layout(2, 2), 50).unwrap()
    }

    fn texts(from: &str, to: &str) -> Option<(String, String)> {
        Some((from.to_owned(), to.to_owned()))
    }

    #[test]
    fn serials_come_in_rising_order() {
        let series = series("ZZ", 6, 11, 20).unwrap();
        assert_eq!(series.len(), 10);
        assert_eq!(series.serial(0).unwrap().as_str(), "ZZ000011");
        assert_eq!(series.serial(9).unwrap().as_str(), "ZZ000020");
        assert_eq!(series.serial(10), None);
        assert_eq!(series.serial(u64::MAX), None);
        assert_eq!(series.find("zz 000020"), Ok(Some(9)));
        assert_eq!(series.find("ZZ000021"), Ok(None));
        assert!(series.find("ZZ21").is_err());
    }

    #[test]
    fn refuses_with_the_numbers() {
        assert_eq!(
            series("ZZ", 6, 20, 11).unwrap_err().to_string(),
            "Replacement series R1 starts at 20 and ends before it, at 11. Give the lower number first."
        );
        assert_eq!(
            series("ZZ", 6, 1, 1_000_000).unwrap_err().to_string(),
            "Replacement series R1 would reach number 1 000 000, but 6 digits end at 999 999. Give a lower last number or a wider serial format."
        );
    }

    #[test]
    fn overlaps_are_found_in_the_gaps_exactly() {
        let lot = lot("KA", 6, 1_000);
        let overlap = |first, last| {
            series("KA", 6, first, last)
                .unwrap()
                .overlaps_numbering(&lot)
        };
        assert_eq!(overlap(1_050, 1_099), None);
        assert_eq!(overlap(1_040, 1_099), texts("KA001040", "KA001049"));
        assert_eq!(overlap(1_050, 1_100), texts("KA001100", "KA001100"));
        assert_eq!(overlap(1_350, 9_999), None);
        assert_eq!(
            series("KB", 6, 1_000, 1_349)
                .unwrap()
                .overlaps_numbering(&lot),
            None
        );
        let (a, b) = (
            series("KA", 6, 1, 10).unwrap(),
            series("KA", 6, 10, 12).unwrap(),
        );
        assert_eq!(a.overlaps(&b), texts("KA000010", "KA000010"));
    }

    #[test]
    fn digits_of_the_prefix_do_not_hide_an_overlap() {
        // KA1 with five digits and KA with six both print KA101000.
        let lot = lot("KA1", 5, 1_000);
        let wide = series("KA", 6, 101_040, 101_060).unwrap();
        assert_eq!(wide.overlaps_numbering(&lot), texts("KA101040", "KA101049"));
        let low = series("KA", 6, 1_040, 1_060).unwrap();
        assert_eq!(low.overlaps_numbering(&lot), None);
    }

    #[test]
    fn lots_overlap_only_where_both_print() {
        assert_eq!(lot("KA", 6, 1_000).overlaps(&lot("KA", 6, 1_050)), None);
        let clash = lot("KA", 6, 1_000).overlaps(&lot("KA", 6, 1_149));
        assert_eq!(clash, texts("KA001149", "KA001149"));
        assert_eq!(lot("KA", 6, 1_000).overlaps(&lot("KA", 7, 1_000)), None);
    }

    #[test]
    fn serde_is_checked() {
        let json = serde_json::to_string(&series("ZZ", 6, 11, 20).unwrap()).unwrap();
        assert!(serde_json::from_str::<Series>(&json).is_ok());
        let backwards = json.replace("\"last\":20", "\"last\":2");
        assert!(serde_json::from_str::<Series>(&backwards).is_err());
    }
}
