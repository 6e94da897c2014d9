use polepair::machine::meet::{meetings, operating, reached, unstable};
use polepair::machine::run_up::Drive;
use polepair::machine::{Stopped, Torque};
use proptest::prelude::*;

use super::{close, rad, words};

/// The closed form from breakdown torque and slip at 1500 r/min.
fn closed_form(breakdown: f64, at: f64) -> impl FnMut(f64) -> Result<f64, polepair::machine::Stopped> {
    move |omega| {
        let s = 1.0 - omega / rad(1500.0);
        Ok(2.0 * breakdown * s * at / (s * s + at * at))
    }
}

proptest! {
    /// Constant accelerating torque: t = J·Δω/T, exactly; the rotor takes T·∫(ω_s − ω)dt.
    #[test]
    fn constant_torque(inertia in 0.01..500.0_f64, motor in 20.0..900.0_f64, part in 0.0..0.95_f64, to in 10.0..1500.0_f64) {
        let load = motor * part;
        let (mut given, mut asked) = (move |_| Ok(motor), move |_| Ok(load));
        let mut drive = Drive { motor: &mut given, load: &mut asked, inertia };
        let time = drive.time(0.0, rad(to)).unwrap();
        let wanted = inertia * rad(to) / (motor - load);
        prop_assert!((time - wanted).abs() <= 1e-9 * wanted, "{time} {wanted}");
        let heat = drive.rotor_heat(rad(1500.0), 0.0, rad(to)).unwrap();
        let wanted = motor * (rad(1500.0) * time - 0.5 * (motor - load) / inertia * time * time);
        prop_assert!((heat - wanted).abs() <= 1e-9 * wanted, "{heat} {wanted}");
        let speed = drive.speed_after(0.0, rad(2000.0), 0.5 * time).unwrap();
        prop_assert!((speed - 0.5 * rad(to)).abs() <= 1e-9 * rad(to), "{speed}");
    }

    /// Without load on the closed form the run-up has a closed form of its own (New Age International, A First Course on Electrical
    /// Drives, chapter 5), and the heat is J·ω_s²·(1 − s²)/2 whatever the curve.
    #[test]
    fn closed_form_without_load(breakdown in 50.0..900.0_f64, at in 0.05..0.9_f64, s in 0.01..0.5_f64, inertia in 0.1..50.0_f64) {
        let (mut given, mut asked) = (closed_form(breakdown, at), |_| Ok(0.0));
        let mut drive = Drive { motor: &mut given, load: &mut asked, inertia };
        let omega = rad(1500.0);
        let time = drive.time(0.0, (1.0 - s) * omega).unwrap();
        let wanted = inertia * omega / (2.0 * breakdown) * ((1.0 - s * s) / (2.0 * at) + at * (1.0 / s).ln());
        prop_assert!((time - wanted).abs() <= 1e-8 * wanted, "{time} {wanted}");
        let heat = drive.rotor_heat(omega, 0.0, (1.0 - s) * omega).unwrap();
        let wanted = inertia * omega * omega * (1.0 - s * s) / 2.0;
        prop_assert!((heat - wanted).abs() <= 1e-8 * wanted, "{heat} {wanted}");
        // Speed after that time is that speed again.
        let again = drive.speed_after(0.0, omega, time).unwrap();
        prop_assert!((again - (1.0 - s) * omega).abs() <= 1e-7 * omega, "{again}");
    }

    /// A constant load meets the closed form at s/s_b + s_b/s = 2·T_b/T: the smaller slip holds, the larger does not.
    #[test]
    fn both_meetings(breakdown in 50.0..900.0_f64, at in 0.05..0.6_f64, part in 0.0..0.98_f64) {
        // Above the torque at standstill, so that both lie between standstill and synchronous speed.
        let still = 2.0 * at / (1.0 + at * at);
        let load = breakdown * (still + (1.0 - still) * (0.02 + 0.97 * part));
        let q = breakdown / load;
        let root = (q * q - 1.0).sqrt();
        let omega = rad(1500.0);
        let (fast, slow) = (omega * (1.0 - at * (q - root)), omega * (1.0 - at * (q + root)));
        let (mut given, mut asked) = (closed_form(breakdown, at), move |_| Ok(load));
        let met = meetings(&mut given, &mut asked, 0.0, omega).unwrap();
        prop_assert_eq!(met.points.len(), 2, "{:?}", met);
        prop_assert!((met.points[0].speed - slow).abs() <= 1e-8 * omega && !met.points[0].stable);
        prop_assert!((met.points[1].speed - fast).abs() <= 1e-8 * omega && met.points[1].stable);
        let runs = operating(&mut given, &mut asked, 0.0, omega).unwrap();
        prop_assert!((runs.speed - fast).abs() <= 1e-8 * omega);
        let falls = unstable(&mut given, &mut asked, 0.0, omega).unwrap();
        prop_assert!((falls.speed - slow).abs() <= 1e-8 * omega);
    }
}

#[test]
fn stalls_are_said_with_their_speed() {
    let mut asked = |_| Ok(300.0);
    let said = words(operating(&mut closed_form(260.0, 0.15), &mut asked, 0.0, rad(1500.0)));
    // Nearest at breakdown, 15 % below 1500 r/min; the scan stands within a hundredth of the span.
    assert!(said.starts_with("the motor stalls: at every speed looked at"), "{said}");
    assert!(said.contains("nearest at 12"), "{said}");
    let mut asked = |_| Ok(150.0);
    let said = words(reached(&mut closed_form(260.0, 0.15), &mut asked, 0.0, rad(1500.0)));
    assert_eq!(
        said,
        "the motor does not start: it stalls at 0 r/min; there the motor gives 76.3 N·m and the load asks for 150 N·m"
    );
    // Coming from above the unstable point it runs up; coming from standstill a growing load stalls it half way.
    let mut growing = |omega: f64| Ok(20.0 + 2.0 * omega);
    let mut motor = closed_form(260.0, 0.15);
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut growing,
        inertia: 1.0,
    };
    let said = words(drive.time(0.0, rad(1400.0)));
    // There 2·260·s·0.15/(s² + 0.0225) = 20 + 2·ω, to the whole r/min that is said.
    let at: f64 = said
        .split(" at ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    let omega = rad(at);
    let s: f64 = 1.0 - at / 1500.0;
    let gap = 2.0 * 260.0 * s * 0.15 / (s * s + 0.0225) - 20.0 - 2.0 * omega;
    assert!(gap.abs() < 0.3, "{said}: {gap}");
    assert!(
        said.starts_with("the motor stalls at ") && said.ends_with("so it never comes to 1400 r/min"),
        "{said}"
    );
}

/// A dip that only just touches the load between two of the points looked at is found.
#[test]
fn narrow_dips_are_found() {
    // 50 N·m with a dip to 29.99 N·m, about 25 r/min wide, at 777.3 r/min; load 30 N·m. It is below the load for 1.1 r/min.
    let mut given = |omega: f64| {
        let x = (omega - rad(777.3)) / rad(25.0);
        Ok(50.0 - 20.01 * (-x * x).exp())
    };
    let mut asked = |_| Ok(30.0);
    let met = meetings(&mut given, &mut asked, 0.0, rad(1500.0)).unwrap();
    assert_eq!(met.points.len(), 2, "{met:?}");
    let mut drive = Drive {
        motor: &mut given,
        load: &mut asked,
        inertia: 1.0,
    };
    let said = words(drive.time(0.0, rad(1400.0)));
    assert!(said.starts_with("the motor stalls at 77"), "{said}");
}

#[test]
fn nonsense_is_said() {
    let (mut given, mut asked) = (closed_form(260.0, 0.15), |_| Ok(20.0));
    assert!(words(meetings(&mut given, &mut asked, 1.0, 1.0)).contains("nothing between"));
    assert!(words(meetings(&mut given, &mut asked, f64::NAN, 1.0)).contains("nothing between"));
    let mut bad = |_| Ok(f64::NAN);
    assert!(words(meetings(&mut bad, &mut asked, 0.0, 1.0)).contains("no number"));
    for inertia in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let mut drive = Drive {
            motor: &mut given,
            load: &mut asked,
            inertia,
        };
        assert!(words(drive.time(0.0, 1.0)).contains("inertia"));
    }
    let mut drive = Drive {
        motor: &mut given,
        load: &mut asked,
        inertia: 1.0,
    };
    assert!(words(drive.time(0.0, f64::INFINITY)).contains("no number"));
    assert!(words(drive.speed_after(0.0, 10.0, -1.0)).contains("below zero"));
    assert!(words(drive.speed_after(0.0, 10.0, 1e6)).contains("passes 95.5 r/min"));
    close(drive.time(5.0, 5.0).unwrap(), 0.0, 0.0);
}

/// A friction that turns its sign at standstill: the drive comes to rest, and where the motor cannot start it, both torques are said.
#[test]
fn friction_turns_at_standstill() {
    let mut motor = |_: f64| Ok(20.0);
    let mut load = |omega: f64| Ok(if omega < 0.0 { -30.0 } else { 30.0 });
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut load,
        inertia: 2.0,
    };
    // 2 kg·m² · 100 rad/s / (20 + 30) N·m
    assert!((drive.time(-100.0, 0.0).unwrap() - 4.0).abs() < 1e-9);
    let said = words(drive.time(-100.0, 50.0));
    assert!(said.contains("20.0 N·m") && said.contains("30.0 N·m"), "{said}");
}

/// A load with a peak between its corners.
struct Peak;

impl Torque for Peak {
    fn at(&mut self, omega: f64) -> Result<f64, Stopped> {
        let off = (omega - rad(700.0)).abs() / rad(0.5);
        Ok(20.0 + 480.0 * (1.0 - off).max(0.0))
    }

    fn corners(&mut self, _: f64, _: f64) -> Vec<f64> {
        [699.5, 700.0, 700.5].map(rad).to_vec()
    }
}

/// A triangle of 480 N·m, half a turn per minute to either side of 700 r/min, meets 100 N·m at a sixth of its height: by hand at
/// 699.5 + 0.5·80/480 r/min and 700.5 − 0.5·80/480 r/min. Below 500 N·m it is passed in J·∫dω/(T − T_L), by hand with a logarithm.
#[test]
fn a_peak_between_two_looks_is_met() {
    let mut motor = |_: f64| Ok(100.0);
    for (from, to) in [(0.0, 1500.0), (1500.0, 0.0)] {
        let met = meetings(&mut motor, &mut Peak, rad(from), rad(to)).unwrap();
        let speeds: Vec<f64> = met.points.iter().map(|point| point.speed).collect();
        assert_eq!(speeds.len(), 2, "{met:?}");
        close(speeds[0], rad(699.5 + 40.0 / 480.0), 1e-12);
        close(speeds[1], rad(700.5 - 40.0 / 480.0), 1e-12);
        assert!(met.points[0].stable && !met.points[1].stable);
    }
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut Peak,
        inertia: 6.0,
    };
    assert!(words(drive.time(0.0, rad(1400.0))).starts_with("the motor stalls at 700 r/min"));
    let mut motor = |_: f64| Ok(520.0);
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut Peak,
        inertia: 6.0,
    };
    let wanted = 6.0 * (rad(1399.0) / 500.0 + rad(1.0) / 480.0 * (500.0_f64 / 20.0).ln());
    close(drive.time(0.0, rad(1400.0)).unwrap(), wanted, 1e-10);
    close(drive.speed_after(0.0, rad(2000.0), wanted).unwrap(), rad(1400.0), 1e-10);
}

/// Friction turns its sign at standstill: the drive is at rest after J·ω/T and stays there, exactly. What fades away with the speed
/// comes to rest as soon as nothing of the speed is left to tell.
#[test]
fn at_rest_is_no_speed_at_all() {
    let mut motor = |_: f64| Ok(0.0);
    let mut friction = |omega: f64| Ok(if omega < 0.0 { -30.0 } else { 30.0 });
    for to in [0.0, -50.0] {
        let mut drive = Drive {
            motor: &mut motor,
            load: &mut friction,
            inertia: 2.0,
        };
        close(drive.speed_after(100.0, to, 3.0).unwrap(), 55.0, 1e-12);
        close(
            drive.speed_after(100.0, to, 6.666_66).unwrap(),
            100.0 - 15.0 * 6.666_66,
            1e-6,
        );
        assert_eq!(drive.speed_after(100.0, to, 6.667).unwrap().to_bits(), 0);
        assert_eq!(drive.speed_after(100.0, to, 1e6).unwrap().to_bits(), 0);
    }
    let mut viscous = |omega: f64| Ok(0.5 * omega);
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut viscous,
        inertia: 2.0,
    };
    close(
        drive.speed_after(100.0, -50.0, 8.0).unwrap(),
        100.0 * (-2.0_f64).exp(),
        1e-9,
    );
    close(
        drive.speed_after(100.0, -50.0, 60.0).unwrap(),
        100.0 * (-15.0_f64).exp(),
        1e-4,
    );
    assert_eq!(drive.speed_after(100.0, -50.0, 1000.0).unwrap().to_bits(), 0);
}

/// A load that jumps past the motor has no torque in common with it, and is told as a jump; the shaft has the motor's torque.
#[test]
fn a_jump_is_told_as_one() {
    let mut motor = |_: f64| Ok(100.0);
    let mut load = |omega: f64| Ok(if omega > rad(700.0) { 500.0 } else { 20.0 });
    let runs = operating(&mut motor, &mut load, 0.0, rad(1500.0)).unwrap();
    close(runs.speed, rad(700.0), 1e-9);
    close(runs.torque, 100.0, 0.0);
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut load,
        inertia: 2.0,
    };
    let jump = "the motor stalls at 700 r/min: the load jumps there: just below it asks for 20.0 N·m, just above for 500 N·m, and the motor gives 100 N·m";
    let said = words(drive.time(0.0, rad(1400.0)));
    assert!(said.starts_with(jump), "{said}");
    let mut tripped = |omega: f64| Ok(if omega > rad(700.0) { 10.0 } else { 100.0 });
    let mut load = |_: f64| Ok(50.0);
    let runs = operating(&mut tripped, &mut load, 0.0, rad(1500.0)).unwrap();
    close(runs.torque, 50.0, 0.0);
    let mut drive = Drive {
        motor: &mut tripped,
        load: &mut load,
        inertia: 2.0,
    };
    let jump = "the motor stalls at 700 r/min: the motor's torque jumps there: just below it is 100 N·m, just above 10.0 N·m, and the load asks for 50.0 N·m";
    let said = words(drive.time(0.0, rad(1400.0)));
    assert!(said.starts_with(jump), "{said}");
}

/// A load that drives the motor takes it above synchronous speed, and that is said.
#[test]
fn an_overhauling_load_is_named() {
    let mut motor = closed_form(260.0, 0.15);
    let mut load = |_: f64| Ok(-60.0);
    let pushes =
        "the load drives the motor; at 1500 r/min it pushes with 60.0 N·m, and the motor does not hold it back";
    let (low, high) = (0.0, rad(1500.0));
    let mut drive = Drive {
        motor: &mut motor,
        load: &mut load,
        inertia: 2.0,
    };
    let after = drive.speed_after(low, high, 100.0);
    for said in [
        after.map(|_| ()),
        operating(&mut motor, &mut load, low, high).map(|_| ()),
        reached(&mut motor, &mut load, low, high).map(|_| ()),
    ] {
        let Err(Stopped::Said { what, help, .. }) = said else {
            panic!("{said:?}")
        };
        assert!(what.ends_with(pushes), "{what}");
        assert!(help.starts_with("it runs above synchronous speed"), "{help}");
    }
    // −60 = 2·260·s·0.15/(s² + 0.0225), by hand s = −0.15·(260/60 − √((260/60)² − 1)).
    let q: f64 = 260.0 / 60.0;
    let wanted = rad(1500.0) * (1.0 + 0.15 * (q - (q * q - 1.0).sqrt()));
    close(
        operating(&mut motor, &mut load, low, rad(1600.0)).unwrap().speed,
        wanted,
        1e-9,
    );
}
