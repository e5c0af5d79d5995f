/// The least number in 0..=roof for which `test` holds, given that it fails at 0, holds at
/// `roof` and changes once: by halving, to the last digit.
pub(super) fn first_true(roof: f64, test: impl Fn(f64) -> bool) -> f64 {
    let (mut fails, mut holds) = (0.0, roof);
    loop {
        let middle = f64::midpoint(fails, holds);
        if middle <= fails || middle >= holds {
            return holds;
        }
        if test(middle) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
}
