//! The ornament on a note: a rosette computed from the product's name, so that each product has
//! its own.

/// SVG path data of a rosette around (0, 0) with radius 1.
///
/// A closed curve r(t) = 1 − d + d·cos(k·t), drawn twice with a turn between: k petals, depth d,
/// both taken from the name.
pub fn rosette(name: &str) -> String {
    let seed = name.bytes().fold(2_166_136_261_u32, |hash, byte| {
        (hash ^ u32::from(byte)).wrapping_mul(16_777_619)
    });
    let petals = 7 + seed % 6;
    let depth = 0.26 + f64::from(seed / 7 % 10) * 0.018;
    let outer = curve(f64::from(petals), depth, 1.0, 0.0);
    let inner = curve(
        f64::from(petals),
        depth * 1.3,
        0.72,
        std::f64::consts::PI / f64::from(petals),
    );
    outer + &inner
}

const STEPS: u32 = 180;

fn curve(petals: f64, depth: f64, size: f64, turn: f64) -> String {
    let mut path = String::new();
    for step in 0..=STEPS {
        let t = std::f64::consts::TAU * f64::from(step) / f64::from(STEPS);
        let r = size * (1.0 - depth + depth * (petals * t).cos());
        let (x, y) = (r * (t + turn).cos(), r * (t + turn).sin());
        let command = if step == 0 { 'M' } else { 'L' };
        path.push_str(&format!("{command}{x:.3} {y:.3}"));
    }
    path.push('Z');
    path
}
