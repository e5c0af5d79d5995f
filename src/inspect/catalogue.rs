//! The catalogue of defect classes: two-letter codes, grouped by the step that causes them.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::sheet::serde_as_text;

/// The two capital letters that name a class on the bench, in print and in the book.
///
/// Two letters can never be mistaken for a position name, which always holds a figure.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ClassCode([u8; 2]);

/// Why a text is not a class code.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a class code. Give two letters A to Z.")]
pub struct ClassCodeError(String);

impl ClassCode {
    /// The code as text, two capital letters.
    pub fn as_str(&self) -> &str {
        // Two ASCII capitals by construction, so this is always text.
        std::str::from_utf8(&self.0).unwrap_or("??")
    }
}

impl FromStr for ClassCode {
    type Err = ClassCodeError;

    fn from_str(text: &str) -> Result<Self, ClassCodeError> {
        match text.trim().to_ascii_uppercase().as_bytes() {
            [a, b] if a.is_ascii_uppercase() && b.is_ascii_uppercase() => Ok(Self([*a, *b])),
            _ => Err(ClassCodeError(text.to_owned())),
        }
    }
}

serde_as_text!(ClassCode);

impl fmt::Display for ClassCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for ClassCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// The step of the works in which a defect usually arises.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Step {
    Paper,
    Offset,
    Screen,
    Foil,
    Intaglio,
    Numbering,
    Handling,
}

impl Step {
    /// All steps in the order of the works.
    pub const ALL: [Step; 7] = [
        Step::Paper,
        Step::Offset,
        Step::Screen,
        Step::Foil,
        Step::Intaglio,
        Step::Numbering,
        Step::Handling,
    ];

    /// The step's name as people read it.
    pub fn name(self) -> &'static str {
        match self {
            Step::Paper => "Paper",
            Step::Offset => "Offset",
            Step::Screen => "Screen",
            Step::Foil => "Foil",
            Step::Intaglio => "Intaglio",
            Step::Numbering => "Numbering",
            Step::Handling => "Cut, handling",
        }
    }

    /// The step's name in files and style sheets, lower case without spaces.
    pub fn slug(self) -> &'static str {
        match self {
            Step::Paper => "paper",
            Step::Offset => "offset",
            Step::Screen => "screen",
            Step::Foil => "foil",
            Step::Intaglio => "intaglio",
            Step::Numbering => "numbering",
            Step::Handling => "handling",
        }
    }
}

/// Whether a class spoils one note or the whole sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Scope {
    Note,
    Sheet,
}

/// How grave a class is (terms of ISO 2859-1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    Minor,
    Major,
    Critical,
}

impl Severity {
    /// From the mildest to the gravest.
    pub const ALL: [Severity; 3] = [Severity::Minor, Severity::Major, Severity::Critical];

    /// The word people use.
    pub fn name(self) -> &'static str {
        match self {
            Severity::Minor => "minor",
            Severity::Major => "major",
            Severity::Critical => "critical",
        }
    }
}

/// One class of defect.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Class {
    pub code: ClassCode,
    /// One to three words, lower case.
    pub name: String,
    pub step: Step,
    pub scope: Scope,
    pub severity: Severity,
    /// What it looks like.
    pub looks: String,
    /// Where it usually comes from (common practice, no source).
    pub cause: String,
}

/// Why a catalogue cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CatalogueError {
    #[error("The catalogue is empty. Keep at least one class.")]
    Empty,
    #[error("Class code {0} stands twice. Give each class a code of its own.")]
    Twice(ClassCode),
    #[error("Class {0} has no name. Write one to three words.")]
    NoName(ClassCode),
    #[error("The {field} of class {code} is longer than {max} characters. Shorten it.")]
    TooLong {
        code: ClassCode,
        field: &'static str,
        max: usize,
    },
}

/// The classes in force, in the order they are shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Vec<Class>", into = "Vec<Class>")]
pub struct Catalogue(Vec<Class>);

const NAME_MAX: usize = 40;
const TEXT_MAX: usize = 200;

impl Catalogue {
    /// A catalogue of these classes.
    ///
    /// # Errors
    /// An empty list, a code that stands twice, a class without a name or with over-long texts.
    pub fn new(classes: Vec<Class>) -> Result<Self, CatalogueError> {
        if classes.is_empty() {
            return Err(CatalogueError::Empty);
        }
        for (i, class) in classes.iter().enumerate() {
            check_class(class)?;
            if classes[..i].iter().any(|other| other.code == class.code) {
                return Err(CatalogueError::Twice(class.code));
            }
        }
        Ok(Self(classes))
    }

    pub fn classes(&self) -> &[Class] {
        &self.0
    }

    /// The class of that code, if the catalogue has it.
    pub fn get(&self, code: ClassCode) -> Option<&Class> {
        self.0.iter().find(|class| class.code == code)
    }

    /// The classes of one step, in order.
    pub fn of_step(&self, step: Step) -> impl Iterator<Item = &Class> {
        self.0.iter().filter(move |class| class.step == step)
    }

    /// Whether a code with this first letter exists: tells a first key from a stray one.
    pub fn has_initial(&self, letter: char) -> bool {
        self.0
            .iter()
            .any(|class| class.code.as_str().starts_with(letter))
    }
}

fn check_class(class: &Class) -> Result<(), CatalogueError> {
    let code = class.code;
    if class.name.trim().is_empty() {
        return Err(CatalogueError::NoName(code));
    }
    let fields = [
        ("name", &class.name, NAME_MAX),
        ("look", &class.looks, TEXT_MAX),
        ("usual cause", &class.cause, TEXT_MAX),
    ];
    match fields
        .into_iter()
        .find(|(_, text, max)| text.chars().count() > *max)
    {
        Some((field, _, max)) => Err(CatalogueError::TooLong { code, field, max }),
        None => Ok(()),
    }
}

impl TryFrom<Vec<Class>> for Catalogue {
    type Error = CatalogueError;

    fn try_from(classes: Vec<Class>) -> Result<Self, CatalogueError> {
        Self::new(classes)
    }
}

impl From<Catalogue> for Vec<Class> {
    fn from(catalogue: Catalogue) -> Self {
        catalogue.0
    }
}
