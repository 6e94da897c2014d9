use polepair::machine::points::{NamedPoints, Point};
use proptest::prelude::*;

use super::{close, rad, words};

fn point(turns: f64, torque: f64) -> Point {
    Point {
        speed: rad(turns),
        torque,
    }
}

proptest! {
    /// Through each point, monotone between them, never beyond them, no torque at synchronous speed.
    #[test]
    fn monotone_from_point_to_point(
        pull in 50.0..600.0_f64, up in 100.0..600.0_f64, slip in 5.0..80.0_f64,
        rated in 20.0..200.0_f64, least in 0.3..1.8_f64, locked in 1.0..1.8_f64, most in 1.01..3.0_f64,
    ) {
        let pull_up = point(pull, rated * least);
        let locked = pull_up.torque * locked;
        let breakdown = point(pull + up, rated.max(locked) * most);
        let rated = point(1500.0 - slip, rated);
        let curve = NamedPoints::through(rad(1500.0), locked, pull_up, breakdown, rated).unwrap();
        let knots = [point(0.0, locked), pull_up, breakdown, rated, point(1500.0, 0.0)];
        for pair in knots.windows(2) {
            let [a, b] = pair else { unreachable!() };
            let mut last = curve.at(a.speed).unwrap();
            prop_assert!((last - a.torque).abs() <= 1e-9 * locked);
            let rises = (b.torque - a.torque).signum();
            for step in 1..=200 {
                let omega = a.speed + (b.speed - a.speed) * f64::from(step) / 200.0;
                let torque = curve.at(omega).unwrap();
                prop_assert!(rises * (torque - last) >= -1e-9 * locked, "{pair:?} {omega} {torque} {last}");
                let (low, high) = (a.torque.min(b.torque), a.torque.max(b.torque));
                prop_assert!(torque >= low - 1e-9 * locked && torque <= high + 1e-9 * locked);
                last = torque;
            }
        }
        prop_assert!(curve.at(rad(1500.0)).unwrap().abs() < 1e-9 * locked);
    }
}

/// From rated to no load a straight line: at a third of the rated slip a third of the rated torque.
#[test]
fn straight_between_rated_and_no_load() {
    let curve = NamedPoints::through(
        rad(1500.0),
        190.0,
        point(300.0, 160.0),
        point(1250.0, 260.0),
        point(1470.0, 96.0),
    )
    .unwrap();
    close(curve.at(rad(1490.0)).unwrap(), 32.0, 1e-9);
    close(curve.at(rad(1480.0)).unwrap(), 64.0, 1e-9);
    close(curve.at(rad(1520.0)).unwrap(), -64.0, 1e-9);
}

#[test]
fn points_that_no_motor_has() {
    let through = |synchronous: f64, locked: f64, pull_up: Point, breakdown: Point, rated: Point| {
        words(NamedPoints::through(
            rad(synchronous),
            locked,
            pull_up,
            breakdown,
            rated,
        ))
    };
    let (pull_up, breakdown, rated) = (point(300.0, 160.0), point(1250.0, 260.0), point(1465.0, 97.8));
    assert_eq!(
        through(1465.0, 190.0, pull_up, breakdown, point(1500.0, 97.8)),
        "synchronous speed stands at 1465 r/min, not above 1500 r/min"
    );
    assert_eq!(
        through(1500.0, 190.0, pull_up, point(250.0, 260.0), rated),
        "breakdown stands at 250 r/min, not above 300 r/min"
    );
    assert_eq!(
        through(1500.0, 190.0, pull_up, point(1250.0, 90.0), rated),
        "the breakdown torque is 90.0 N·m, not more than the rated torque, 97.8 N·m"
    );
    assert!(through(1500.0, 150.0, pull_up, breakdown, rated).starts_with("the pull-up torque is 160 N·m, more than"));
    assert!(
        through(1500.0, 290.0, pull_up, breakdown, rated).starts_with("the locked-rotor torque is 290 N·m, more than")
    );
    assert!(through(1500.0, f64::NAN, pull_up, breakdown, rated).contains("no number"));
    let curve = NamedPoints::through(rad(1500.0), 190.0, pull_up, breakdown, rated).unwrap();
    assert!(words(curve.at(rad(-5.0))).contains("-5 r/min"));
    assert!(words(curve.at(rad(3100.0))).contains("3100 r/min"));
    assert!(words(curve.at(f64::NAN)).contains("say nothing of"));
}
