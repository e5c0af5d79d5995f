use super::*;
use crate::export::contents::NoteRange;

/// A container whose lists have so many single sheets and notes.
fn container(name: &str, sheets: u32, notes: u32) -> CertifiedContainer {
    let sheet = |number: u32| {
        let sheet = crate::sheet::SheetNo::new(number).expect("from 1");
        SheetSpan {
            lot: "BW-1".parse().expect("a lot"),
            from: sheet,
            to: sheet,
        }
    };
    let note = |number: u32| {
        let text = format!("KA{number:06}");
        NoteRange {
            from: text.clone(),
            to: text.clone(),
            count: 1,
            replacements: false,
            shown: [text.clone(), text],
        }
    };
    let works = super::super::certificate::sample::made();
    CertifiedContainer {
        container: name.parse().expect("a container"),
        // Every other one, so that none touches its neighbour.
        sheet_numbers: (0..sheets).map(|n| sheet(2 * n + 1)).collect(),
        serials: (0..notes).map(|n| note(2 * n)).collect(),
        ..works.containers[0].clone()
    }
}

fn certificate(containers: Vec<CertifiedContainer>) -> Certificate {
    Certificate {
        containers,
        ..super::super::certificate::sample::made()
    }
}

fn contents(annex: &Annex) -> Vec<Vec<AnnexLine>> {
    match annex {
        Annex::Contents(columns) => columns.clone(),
        Annex::Containers(_) => panic!("a list of containers"),
    }
}

/// Four persons take 44 mm, a container 10, the titles 12 and 8, a note 4: 48 mm are left, 12
/// lines of 95 characters. "KA000000, " is 10 of them.
#[test]
fn a_short_certificate_has_no_annex() {
    let short = certificate(vec![container("C-1", 0, 110)]);
    assert!(short.contents_fit() && short.containers_fit());
    assert_eq!(short.annexes(), []);
    assert!(!certificate(vec![container("C-1", 0, 120)]).contents_fit());
    let mut crowded = short.clone();
    let persons = crowded.persons.clone();
    crowded.persons.extend(persons);
    assert!(crowded.containers_fit() && !crowded.contents_fit());
}

/// One title and 56 ranges in each column; 300 ranges fill five columns and a part of a sixth.
#[test]
fn long_lists_go_on_from_column_to_column_and_page_to_page() {
    let long = certificate(vec![container("C-1", 0, 300)]);
    let annexes = long.annexes();
    let columns: Vec<Vec<AnnexLine>> = annexes.iter().flat_map(contents).collect();
    assert_eq!((annexes.len(), columns.len()), (2, 6));
    let ranges = |column: &[AnnexLine]| {
        let lines = column.iter();
        lines
            .filter(|line| matches!(line, AnnexLine::Range(_)))
            .count()
    };
    assert!(columns.iter().all(|column| column.len() <= LINES));
    assert_eq!(
        columns.iter().map(|column| ranges(column)).sum::<usize>(),
        300
    );
    let head = |goes_on| AnnexLine::Head {
        text: "C-1 · Notes".to_owned(),
        goes_on,
    };
    assert_eq!(columns[0][0], head(false));
    assert!(columns[1..].iter().all(|column| column[0] == head(true)));
    assert_eq!(
        columns[5].last(),
        Some(&AnnexLine::Range("KA000598".to_owned()))
    );
    // Long ranges leave room for two columns only.
    let mut wide = certificate(vec![container("C-1", 0, 300)]);
    wide.containers[0].serials[7].shown[0] = "KA 000 000 000 014 – KA 000 000 000 020".to_owned();
    assert_eq!(wide.annexes().len(), 3);
}

#[test]
fn no_title_stands_alone_at_the_foot_of_a_column() {
    let two = certificate(vec![container("C-1", LINES as u32 - 2, 240)]);
    let columns = contents(&two.annexes()[0]);
    assert_eq!(columns[0].len(), LINES - 1);
    let text = "C-1 · Notes".to_owned();
    assert_eq!(
        columns[1][0],
        AnnexLine::Head {
            text,
            goes_on: false
        }
    );
}

#[test]
fn many_containers_have_their_own_annex() {
    let many = (1..=30)
        .map(|n| container(&format!("C-{n}"), 1, 1))
        .collect();
    let many = certificate(many);
    assert!(!many.containers_fit() && !many.contents_fit());
    let annexes = many.annexes();
    let sizes: Vec<usize> = annexes
        .iter()
        .map(|annex| match annex {
            Annex::Containers(part) => part.len(),
            Annex::Contents(_) => 0,
        })
        .collect();
    // 30 containers with 4 lines each make 120 lines: 14 a column, three columns on one page.
    assert_eq!(sizes, [20, 10, 0]);
}
