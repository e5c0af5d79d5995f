use serde::{Deserialize, Serialize};

use super::claim::Claim;
use super::run::Comb;
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
        Claim {
            format: self.format(),
            combs: vec![comb],
        }
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
