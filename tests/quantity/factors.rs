//! Factors: exact algebra, one rounding, roots, π; and factors of units against the uom library.

use num_bigint::BigInt;
use num_rational::BigRational;
use polepair::quantity::decimal::read;
use polepair::quantity::{Exponent, Factor, Number, Unit};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn plain(num: i128, den: i128) -> Factor {
    Factor::new(num, den, Exponent::ZERO).unwrap()
}

fn power(num: i64, den: i64) -> Exponent {
    Exponent::new(num, den).unwrap()
}

#[test]
fn one_rounding_over_a_whole_product() {
    // 60 Hz / (4 pole) in r/min: 60 · 1 · 2 · 60 / 4, exactly 1800.
    let factor = [("Hz", 1), ("pole", -1), ("r/min", -1)]
        .iter()
        .fold(Factor::one(), |out, (unit, times)| {
            out.mul(&Unit::parse(unit).unwrap().factor.pow(power(*times, 1)).unwrap())
        });
    assert_eq!(factor, plain(120, 1));
    // A third and back leaves nothing behind.
    assert!(plain(1, 3).mul(&plain(3, 1)).is_one());
    assert_eq!(plain(1, 3).apply(Decimal::from(3)).unwrap(), Decimal::ONE);
    assert_eq!(plain(5, 9).apply(read("0.9").unwrap()).unwrap(), read("0.5").unwrap());
    // hp to kW is a finite decimal: all digits stand.
    let hp = Unit::parse("hp")
        .unwrap()
        .factor
        .div(&Unit::parse("kW").unwrap().factor);
    assert_eq!(
        hp.apply(Decimal::from(15)).unwrap(),
        read("11.1854980737340533").unwrap()
    );
    // Half to even at the 28th place: a unit of the last place, halved and raised by half.
    assert_eq!(
        plain(1, 2).apply(read("3e-28").unwrap()).unwrap(),
        read("2e-28").unwrap()
    );
    assert_eq!(plain(1, 3).apply(read("1e-28").unwrap()).ok(), None);
}

#[test]
fn roots_that_come_out_even_are_taken_and_others_kept() {
    let half = power(1, 2);
    assert_eq!(plain(3600, 49).pow(half).unwrap(), plain(60, 7));
    let root = plain(2, 1).pow(half).unwrap();
    assert_eq!(root.root(), 2);
    assert_eq!(root.mul(&root), plain(2, 1));
    assert_eq!(root.pow(power(-2, 1)).unwrap(), plain(1, 2));
    // √2 · √8 = 4; ∛2 · √2 has the root 6.
    assert_eq!(root.mul(&plain(8, 1).pow(half).unwrap()), plain(4, 1));
    let sixth = plain(2, 1).pow(power(1, 3)).unwrap().mul(&root);
    assert_eq!(
        (sixth.root(), sixth.ratio()),
        (6, BigRational::from_integer(BigInt::from(32)))
    );
    assert_eq!(plain(-4, 1).pow(half), None);
    // √2 and √π to 28 digits, from tables of constants.
    assert_eq!(
        root.apply(Decimal::ONE).unwrap(),
        read("1.4142135623730950488016887242").unwrap()
    );
    let root_pi = Factor::new(1, 1, Exponent::ONE).unwrap().pow(half).unwrap();
    assert_eq!(
        root_pi.apply(Decimal::ONE).unwrap(),
        read("1.7724538509055160272981674833").unwrap()
    );
    assert!((root_pi.to_f64() - 1.772_453_850_905_516).abs() < 1e-15);
    // Small under the root: √(2·10⁻³⁰) is 1.4142…·10⁻¹⁵.
    let small = plain(2, 10_i128.pow(30)).pow(half).unwrap();
    assert_eq!(
        small.apply(read("1e15").unwrap()).unwrap(),
        read("1.4142135623730950488016887242").unwrap()
    );
}

#[test]
fn long_fractions_leave_the_fast_way_unharmed() {
    let long = plain(i128::MAX, 3);
    let longer = long.mul(&plain(i128::MAX, 7));
    assert_eq!(longer.mul(&long.inverse()), plain(i128::MAX, 7));
    assert_eq!(longer.div(&longer), Factor::one());
    assert_eq!(
        Factor::new(i128::MIN, 2, Exponent::ZERO)
            .unwrap()
            .mul(&plain(-2, 1))
            .ratio(),
        BigRational::from_integer(-BigInt::from(i128::MIN))
    );
    assert_eq!(Factor::new(1, 0, Exponent::ZERO), None);
    assert_eq!(Factor::new(0, 1, Exponent::ZERO), None);
    // Nobody can make it grow without end: roots that do not fit together are kept to sixty digits.
    let odd: Factor = [61, 59, 53, 47, 43].iter().fold(Factor::one(), |out, root| {
        out.mul(&plain(2, 1).pow(power(1, *root)).unwrap())
    });
    let expected = 2_f64.powf(1.0 / 61.0 + 1.0 / 59.0 + 1.0 / 53.0 + 1.0 / 47.0 + 1.0 / 43.0);
    assert!((odd.to_f64() - expected).abs() < 1e-15, "{}", odd.to_f64());
    let pi = Factor::new(1, 1, Exponent::ONE).unwrap();
    assert_eq!(pi.pow(power(31, 1)), None);
    let many = (0..40).fold(Factor::one(), |out, _| out.mul(&pi.pow(power(30, 1)).unwrap()));
    assert!(many.apply(Decimal::ONE).is_err(), "π^1200 is no decimal");
    assert_eq!(longer.pow(power(30000, 1)), None);
}

#[test]
fn exactness_is_known() {
    let exact = |factor: &Factor, value: &str| factor.apply_to(Number::Exact(read(value).unwrap())).unwrap();
    assert!(matches!(exact(&plain(1, 3), "6"), Number::Exact(_)));
    assert!(matches!(exact(&plain(1, 3), "7"), Number::Rounded(_)));
    assert!(matches!(exact(&plain(127, 5000), "1.5"), Number::Exact(_)));
    assert!(matches!(
        exact(&plain(127, 5000), "1.0000000000000000000000000001"),
        Number::Rounded(_)
    ));
    let pi = Factor::new(1, 1, Exponent::ONE).unwrap();
    assert!(matches!(exact(&pi, "1"), Number::Rounded(_)));
    assert!(matches!(pi.apply_to(Number::Float(1.0)).unwrap(), Number::Float(value) if value == std::f64::consts::PI));
}

/// Factors against the uom library for the units it knows. Its own table has seven digits for horsepower, BTU and the like, so
/// those are compared at 2·10⁻⁷ (slug: six digits); the others at the accuracy of a double.
#[test]
fn factors_equal_those_of_the_uom_library() {
    use uom::si::f64::*;
    macro_rules! same {
        ($($quantity:ident, $module:ident :: $theirs:ident, $ours:literal, $tolerance:expr;)*) => {$(
            let theirs = $quantity::new::<uom::si::$module::$theirs>(1.0).value;
            let unit = Unit::parse($ours).unwrap();
            let times = unit.dimension.get(polepair::quantity::Base::Turn).to_f64();
            let ours = unit.factor.to_f64() * std::f64::consts::TAU.powf(times);
            assert!((ours / theirs - 1.0).abs() <= $tolerance, "{}: {ours}, uom {theirs}", $ours);
        )*};
    }
    const DOUBLE: f64 = 4e-16;
    const SEVEN: f64 = 2e-7;
    const SIX: f64 = 2e-6;
    same! {
        Length, length::inch, "in", DOUBLE;
        Length, length::foot, "ft", DOUBLE;
        Length, length::yard, "yd", DOUBLE;
        Length, length::mile, "mi", DOUBLE;
        Length, length::mil, "mil", DOUBLE;
        Length, length::kilometer, "km", DOUBLE;
        Area, area::square_foot, "ft²", DOUBLE;
        Area, area::square_inch, "in²", DOUBLE;
        Volume, volume::liter, "L", DOUBLE;
        Volume, volume::cubic_foot, "ft³", SEVEN;
        Volume, volume::gallon, "gal", SEVEN;
        Volume, volume::gallon_imperial, "gal_uk", SEVEN;
        Mass, mass::pound, "lb", SEVEN;
        Mass, mass::ounce, "oz", SEVEN;
        Mass, mass::slug, "slug", SIX;
        Mass, mass::ton, "t", DOUBLE;
        Mass, mass::ton_short, "ton_us", SEVEN;
        Mass, mass::ton_long, "ton_uk", SEVEN;
        Force, force::pound_force, "lbf", SEVEN;
        Force, force::ounce_force, "ozf", SEVEN;
        Force, force::kilogram_force, "kgf", DOUBLE;
        Torque, torque::pound_force_foot, "lbf·ft", SEVEN;
        Torque, torque::pound_force_inch, "lbf·in", SEVEN;
        Torque, torque::kilonewton_meter, "kN·m", DOUBLE;
        Power, power::horsepower, "hp", SEVEN;
        Power, power::horsepower_electric, "hp_e", DOUBLE;
        Power, power::horsepower_metric, "PS", SEVEN;
        Power, power::kilowatt, "kW", DOUBLE;
        Energy, energy::kilowatt_hour, "kWh", DOUBLE;
        Energy, energy::btu_it, "BTU", SEVEN;
        Energy, energy::kilojoule, "kJ", DOUBLE;
        Pressure, pressure::psi, "psi", SEVEN;
        Pressure, pressure::bar, "bar", DOUBLE;
        Pressure, pressure::atmosphere, "atm", DOUBLE;
        Time, time::hour, "h", DOUBLE;
        Time, time::day, "d", DOUBLE;
        Velocity, velocity::mile_per_hour, "mph", DOUBLE;
        Velocity, velocity::foot_per_second, "ft/s", DOUBLE;
        Velocity, velocity::kilometer_per_hour, "km/h", SEVEN;
        Angle, angle::revolution, "rev", DOUBLE;
        Angle, angle::degree, "deg", DOUBLE;
        Angle, angle::gon, "gon", DOUBLE;
        AngularVelocity, angular_velocity::revolution_per_minute, "r/min", DOUBLE;
        AngularVelocity, angular_velocity::revolution_per_second, "r/s", DOUBLE;
        ElectricPotential, electric_potential::kilovolt, "kV", DOUBLE;
        ElectricCurrent, electric_current::milliampere, "mA", DOUBLE;
        ElectricalResistance, electrical_resistance::megaohm, "MΩ", DOUBLE;
        Capacitance, capacitance::microfarad, "µF", DOUBLE;
        Inductance, inductance::millihenry, "mH", DOUBLE;
        MagneticFlux, magnetic_flux::milliweber, "mWb", DOUBLE;
        Frequency, frequency::kilohertz, "kHz", DOUBLE;
        Ratio, ratio::percent, "%", DOUBLE;
    }
    // uom has an interval of temperature for differences and a point of its own.
    let fahrenheit = ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::degree_fahrenheit>(212.0);
    let ours = polepair::quantity::convert(
        Decimal::from(212),
        &Unit::parse("°F").unwrap(),
        &Unit::parse("K").unwrap(),
    );
    assert!((ours.unwrap().to_f64() - fahrenheit.value).abs() < 1e-10);
}

fn factors() -> impl Strategy<Value = Factor> {
    (1_i64.., 1_i64.., -3_i16..4)
        .prop_map(|(num, den, pi)| Factor::new(i128::from(num), i128::from(den), Exponent::whole(pi)).unwrap())
}

fn listed() -> impl Strategy<Value = Unit> {
    let units: Vec<Unit> = Unit::all().map(|entry| entry.unit.clone()).collect();
    proptest::sample::select(units)
}

proptest! {
    #[test]
    fn algebra_of_factors(a in factors(), b in factors(), c in factors()) {
        prop_assert_eq!(a.mul(&b), b.mul(&a));
        prop_assert_eq!(a.mul(&b).mul(&c), a.mul(&b.mul(&c)));
        prop_assert_eq!(a.mul(&b).div(&b), a.clone());
        let half = power(1, 2);
        let root = a.pow(half).unwrap();
        prop_assert_eq!(root.mul(&root), a.clone());
        prop_assert_eq!(a.mul(&b).pow(half).unwrap(), root.mul(&b.pow(half).unwrap()));
    }

    /// A factor without π, applied, is the nearest decimal to the exact product.
    #[test]
    fn applied_is_the_nearest(num in 1_i64.., den in 1_i64.., mantissa in 1_i64.., scale in 0_u32..10) {
        let value = Decimal::new(mantissa, scale);
        let worked = plain(i128::from(num), i128::from(den)).apply(value);
        let ten = BigInt::from(10).pow(scale);
        let wanted = BigRational::new(BigInt::from(mantissa) * BigInt::from(num), ten * BigInt::from(den));
        if let Ok(worked) = worked {
            let exact = BigRational::new(BigInt::from(worked.mantissa()), BigInt::from(10).pow(worked.scale()));
            let apart = if exact > wanted { &exact - &wanted } else { &wanted - &exact };
            // Half a unit of the 28th digit or of the 28th place, whichever is coarser.
            let unit = BigRational::new(BigInt::from(1), BigInt::from(10).pow(28));
            let half = BigRational::new(BigInt::from(1), BigInt::from(2));
            let coarse = std::cmp::max(unit.clone(), &wanted * &unit);
            prop_assert!(apart <= coarse * half * BigInt::from(2), "{} {}", worked, wanted);
        }
    }

    /// Any unit of the table raised, multiplied and divided reads back from its text.
    #[test]
    fn texts_of_units_read_back(a in listed(), b in listed(), c in listed(), times in 1_i16..4) {
        let joined = a.mul(&b).and_then(|unit| unit.div(&c));
        if let Some(unit) = joined {
            let again = Unit::parse(&unit.text);
            prop_assert!(again.is_ok(), "{}: {:?}", unit, again);
            let again = again.unwrap();
            prop_assert!(again.same_scale(&unit) && again.text == unit.text, "{} is {}", unit, again);
        }
        let raised = format!("({})^{times}", a.text);
        let unit = Unit::parse(&raised).unwrap();
        let again = Unit::parse(&unit.text);
        prop_assert!(again.as_ref().is_ok_and(|again| again.same_scale(&unit)), "{} {} {:?}", raised, unit, again);
    }

    /// There and back is the same number, to all but the last digits.
    #[test]
    fn there_and_back(a in listed(), b in listed(), mantissa in 1_i64..1_000_000) {
        let value = Decimal::new(mantissa, 3);
        let Ok(there) = polepair::quantity::convert(value, &a, &b) else {
            return Ok(());
        };
        // Far from one a decimal has few digits left.
        let there = there.to_decimal().unwrap();
        if there.abs() < Decimal::new(1, 12) {
            return Ok(());
        }
        if let Ok(back) = polepair::quantity::convert(there, &b, &a) {
            let apart = (back.to_f64() / decimal_f64(value) - 1.0).abs();
            prop_assert!(apart < 1e-12, "{} {} {} {}", value, a, b, back.to_f64());
        }
    }

    /// Where one direction is refused for what the units are, so is the other, except that rad may be dropped.
    #[test]
    fn refusals_are_even_handed(a in listed(), b in listed()) {
        use polepair::quantity::conversion;
        let (there, back) = (conversion(&a, &b), conversion(&b, &a));
        if let (Ok(there), Ok(back)) = (&there, &back) {
            prop_assert!(there.factor.mul(&back.factor).is_one(), "{} {}", a, b);
        } else {
            prop_assert!(there.is_err() == back.is_err() || a.dimension.get(polepair::quantity::Base::Radian) != b.dimension.get(polepair::quantity::Base::Radian), "{} {}", a, b);
        }
    }
}

fn decimal_f64(value: Decimal) -> f64 {
    polepair::quantity::decimal::to_f64(value)
}
