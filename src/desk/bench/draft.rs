//! The tags of the sheet on the bench while they may still change, with undo.

use crate::inspect::{ClassCode, Source, Spot, Tag};
use crate::sheet::Side;

/// The tags as they stand, and the way back.
#[derive(Clone, Debug, Default)]
pub struct Draft {
    tags: Vec<Tag>,
    undo: Vec<Vec<Tag>>,
    redo: Vec<Vec<Tag>>,
    /// The entry that recorded this sheet before: changing it is a correction.
    pub corrects: Option<u64>,
    /// Why it is corrected.
    pub reason: String,
}

impl Draft {
    pub fn new(tags: Vec<Tag>) -> Self {
        Self {
            tags,
            ..Self::default()
        }
    }

    /// The tags that an entry recorded for the sheet.
    pub fn recorded(tags: &[Tag], entry: u64) -> Self {
        Self {
            tags: tags.to_vec(),
            corrects: Some(entry),
            ..Self::default()
        }
    }

    pub fn tags(&self) -> &[Tag] {
        &self.tags
    }

    /// Whether anything was changed since the sheet was put on the bench.
    pub fn changed(&self) -> bool {
        !self.undo.is_empty()
    }

    pub fn can_redo(&self) -> bool {
        !self.redo.is_empty()
    }

    /// Replaces the tags; undo leads back.
    pub fn replace(&mut self, tags: Vec<Tag>) {
        if tags != self.tags {
            self.undo.push(std::mem::replace(&mut self.tags, tags));
            self.redo.clear();
        }
    }

    /// Tags all spots with a class, or takes the class off when all have it already.
    pub fn toggle(&mut self, spots: &[Spot], side: Side, class: ClassCode) {
        let has = |tags: &[Tag], spot: Spot| tags.iter().any(|tag| is(tag, spot, side, class));
        let mut tags = self.tags.clone();
        if spots.iter().all(|spot| has(&tags, *spot)) {
            tags.retain(|tag| !spots.iter().any(|spot| is(tag, *spot, side, class)));
        } else {
            for spot in spots {
                if !has(&tags, *spot) {
                    tags.push(Tag {
                        spot: *spot,
                        side,
                        class,
                        source: Source::Eye,
                        remark: None,
                    });
                }
            }
        }
        self.replace(tags);
    }

    /// Adds tags that are not there yet.
    pub fn add(&mut self, more: &[Tag]) {
        let mut tags = self.tags.clone();
        for tag in more {
            if !tags.iter().any(|other| other.same_defect(tag)) {
                tags.push(Tag {
                    source: Source::Eye,
                    ..tag.clone()
                });
            }
        }
        self.replace(tags);
    }

    /// Takes every tag off these spots, whichever side.
    pub fn clear(&mut self, spots: &[Spot]) {
        let kept = self
            .tags
            .iter()
            .filter(|tag| !spots.contains(&tag.spot))
            .cloned()
            .collect();
        self.replace(kept);
    }

    /// Takes one tag off.
    pub fn remove(&mut self, tag: &Tag) {
        let kept = self
            .tags
            .iter()
            .filter(|other| !other.same_defect(tag))
            .cloned()
            .collect();
        self.replace(kept);
    }

    /// Sets or clears the remark of one tag.
    pub fn remark(&mut self, tag: &Tag, text: &str) {
        let text = text.trim();
        let mut tags = self.tags.clone();
        for other in tags.iter_mut().filter(|other| other.same_defect(tag)) {
            other.remark = (!text.is_empty()).then(|| text.to_owned());
        }
        self.replace(tags);
    }

    pub fn undo(&mut self) {
        if let Some(before) = self.undo.pop() {
            self.redo.push(std::mem::replace(&mut self.tags, before));
        }
    }

    pub fn redo(&mut self) {
        if let Some(after) = self.redo.pop() {
            self.undo.push(std::mem::replace(&mut self.tags, after));
        }
    }
}

fn is(tag: &Tag, spot: Spot, side: Side, class: ClassCode) -> bool {
    (tag.spot, tag.side, tag.class) == (spot, side, class)
}
