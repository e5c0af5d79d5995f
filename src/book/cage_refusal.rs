//! Why an entry about the cage cannot be taken.

use crate::custody::{ContainerId, HeldFor, Item, SealNumber};

/// Why an entry about containers, seals or lost spoils cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CageRefusal {
    #[error(
        "Container {container} is held: {why}. It is counted again by two, explained and sealed anew before anything else."
    )]
    Held {
        container: ContainerId,
        why: HeldFor,
    },
    #[error("Container {0} is not sealed, so there is no seal to look at or to hold it for.")]
    NotSealed(ContainerId),
    #[error("Container {0} is not held. Only a held container is counted again and sealed anew.")]
    NotHeld(ContainerId),
    #[error(
        "Container {0} is held and not counted again yet. Two people count it and explain what they found first."
    )]
    NotRecounted(ContainerId),
    #[error("Container {0} is destroyed. It is nowhere any more.")]
    Destroyed(ContainerId),
    #[error("Container {0} is retired: it was empty and taken out of use. Choose another.")]
    Retired(ContainerId),
    #[error("Container {0} is not empty. Only an empty container is retired.")]
    NotEmpty(ContainerId),
    #[error("Container {0} stands there already. Give another place.")]
    SamePlace(ContainerId),
    #[error("Seal {seal} does not have the works' form: {form}. Read the seal again.")]
    SealForm { seal: SealNumber, form: String },
    #[error("\"{item}\" does not lie in container {container}. Name only what the book has in it.")]
    NotInIt { item: Item, container: ContainerId },
    #[error("\"{0}\" is named twice. Name each piece once.")]
    NamedTwice(Item),
    #[error(
        "\"{0}\" is neither missing nor loose, so it cannot be found in another container. Count the container again that the book has it in."
    )]
    NotMissing(Item),
    #[error(
        "{counted} {kind} counted and {expected} to be expected: {declared} declared, less those named missing, with those found besides. Name every piece that is missing or found besides."
    )]
    RecountDiffers {
        kind: &'static str,
        counted: u32,
        expected: i64,
        declared: u32,
    },
    #[error(
        "\"{item}\" was not put into container {container} by entry {corrects}. Name the entry that did it."
    )]
    OtherFilling {
        item: Item,
        container: ContainerId,
        corrects: u64,
    },
    #[error(
        "The pieces lie in container {0} already. Choose another container, or none to make them loose."
    )]
    SameContainer(ContainerId),
    #[error(
        "Entry {corrects} is not the last word on the sealing of container {container}. Name entry {last}."
    )]
    OtherSealing {
        container: ContainerId,
        corrects: u64,
        last: u64,
    },
    #[error(
        "Seal number, masses and scale are as they stand already. Correct what is wrong, or leave it."
    )]
    NothingCorrected,
    #[error(
        "\"{item}\" is missing: it was declared to lie in container {container} and was not there. Record it as found first."
    )]
    Missing { item: Item, container: ContainerId },
    #[error(
        "\"{item}\" was declared lost in entry {seq}. If it turned up, record it as found first."
    )]
    DeclaredLost { item: Item, seq: u64 },
    #[error(
        "\"{0}\" lies in a container. Count that container again first; a piece missing there can be declared lost."
    )]
    StillContained(Item),
    #[error("\"{0}\" is not missing and was not declared lost, so it cannot be found.")]
    NotGone(Item),
}
