//! Integral of a function of one variable: adaptive Gauss–Kronrod with 7 and 15 points.
//!
//! Always: where the relative tolerance is not reached within the allowed pieces, there is no value.
//! Source of nodes and weights: R. Piessens and others, QUADPACK (Springer 1983), rule of 15 points.

/// Node, weight in the rule of 15 points, weight in the rule of 7 points (0 where it does not take part).
const NODES: [(f64, f64, f64); 8] = [
    (0.991_455_371_120_812_6, 0.022_935_322_010_529_224, 0.0),
    (
        0.949_107_912_342_758_5,
        0.063_092_092_629_978_55,
        0.129_484_966_168_869_7,
    ),
    (0.864_864_423_359_769_1, 0.104_790_010_322_250_18, 0.0),
    (
        0.741_531_185_599_394_4,
        0.140_653_259_715_525_92,
        0.279_705_391_489_276_7,
    ),
    (0.586_087_235_467_691_1, 0.169_004_726_639_267_9, 0.0),
    (
        0.405_845_151_377_397_2,
        0.190_350_578_064_785_4,
        0.381_830_050_505_118_9,
    ),
    (0.207_784_955_007_898_47, 0.204_432_940_075_298_9, 0.0),
    (0.0, 0.209_482_141_084_727_82, 0.417_959_183_673_469_4),
];

/// Relative tolerance for functions that are worked to all digits.
pub const TOLERANCE: f64 = 1e-12;
/// How many pieces an integral may be cut into where nothing is asked more than once.
pub const PIECES: usize = 2_000;

struct Piece {
    from: f64,
    to: f64,
    value: f64,
    error: f64,
}

/// The integral from `a` to `b`: cuts the worst piece in two until the error is small enough; `None` where it never is, or only
/// with more than `most` pieces.
///
/// # Errors
/// What the function stops with.
pub fn adaptive<E>(
    function: &mut impl FnMut(f64) -> Result<f64, E>,
    a: f64,
    b: f64,
    tolerance: f64,
    most: usize,
) -> Result<Option<f64>, E> {
    pieced(function, &[a, b], tolerance, most)
}

/// The same over the pieces between places in a row: where the function is known to bend or jump there, it is smooth in each, and
/// no peak between two of them is passed over.
///
/// # Errors
/// What the function stops with.
pub fn pieced<E>(
    function: &mut impl FnMut(f64) -> Result<f64, E>,
    places: &[f64],
    tolerance: f64,
    most: usize,
) -> Result<Option<f64>, E> {
    let mut pieces = Vec::with_capacity(places.len());
    for pair in places.windows(2) {
        if let [a, b] = pair
            && a != b
        {
            pieces.push(rule(function, *a, *b)?);
        }
    }
    if pieces.is_empty() {
        return Ok(Some(0.0));
    }
    let most = most.saturating_add(places.len());
    while pieces.len() < most {
        let sum: f64 = pieces.iter().map(|piece| piece.value).sum();
        let error: f64 = pieces.iter().map(|piece| piece.error).sum();
        let size: f64 = pieces.iter().map(|piece| piece.value.abs()).sum();
        if !sum.is_finite() {
            return Ok(None);
        }
        if error <= tolerance * sum.abs() || error <= f64::EPSILON * 4.0 * size {
            return Ok(Some(sum));
        }
        let worst = pieces
            .iter()
            .enumerate()
            .max_by(|(_, p), (_, q)| p.error.total_cmp(&q.error))
            .map(|(index, _)| index)
            .unwrap_or(0);
        let piece = pieces.swap_remove(worst);
        let middle = 0.5 * (piece.from + piece.to);
        if middle == piece.from || middle == piece.to {
            return Ok(None);
        }
        pieces.push(rule(function, piece.from, middle)?);
        pieces.push(rule(function, middle, piece.to)?);
    }
    Ok(None)
}

fn rule<E>(function: &mut impl FnMut(f64) -> Result<f64, E>, from: f64, to: f64) -> Result<Piece, E> {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let (mut fine, mut coarse) = (0.0, 0.0);
    for (node, weight, less) in NODES {
        let value = if node == 0.0 {
            function(middle)?
        } else {
            function(middle - half * node)? + function(middle + half * node)?
        };
        fine += weight * value;
        coarse += less * value;
    }
    let (value, error) = (fine * half, ((fine - coarse) * half).abs());
    // The difference of the two rules is far larger than the error of the finer one.
    let error = if value == 0.0 {
        error
    } else {
        error.min((200.0 * error / value.abs()).powf(1.5) * value.abs())
    };
    Ok(Piece { from, to, value, error })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use super::{PIECES, TOLERANCE, adaptive};

    fn over(function: impl Fn(f64) -> f64, a: f64, b: f64) -> Option<f64> {
        adaptive(&mut |x| Ok::<f64, ()>(function(x)), a, b, TOLERANCE, PIECES).unwrap()
    }

    /// Closed forms of the integral tables.
    #[test]
    fn closed_forms() {
        /// Function, from, to, expected.
        type Case = (fn(f64) -> f64, f64, f64, f64);
        let cases: [Case; 6] = [
            (|x| x * x, 0.0, 3.0, 9.0),
            (f64::sin, 0.0, std::f64::consts::PI, 2.0),
            (|x| 1.0 / x, 1.0, std::f64::consts::E, 1.0),
            (|x| 1.0 / (1.0 + x * x), 0.0, 1.0, std::f64::consts::FRAC_PI_4),
            (|x| x.sqrt(), 0.0, 4.0, 16.0 / 3.0),
            (|x| x.abs(), -1.0, 2.0, 2.5),
        ];
        for (function, a, b, expected) in cases {
            let found = over(function, a, b).unwrap();
            assert!((found - expected).abs() <= 1e-11 * expected, "{found} {expected}");
        }
    }

    #[test]
    fn backwards_and_nothing() {
        assert_eq!(over(|x| x, 1.0, 1.0), Some(0.0));
        assert!((over(|x| x * x, 3.0, 0.0).unwrap() + 9.0).abs() < 1e-12);
    }

    /// 1/x over zero has no value: it must not come back as a number.
    #[test]
    fn pole_is_refused() {
        assert_eq!(over(|x| 1.0 / (x - 0.3), 0.0, 1.0), None);
    }
}
