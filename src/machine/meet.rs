//! Where the torque of a motor and that of its load meet, and which of these points hold.
//!
//! Always: all meetings between two speeds; where the accelerating torque changes from positive to negative with rising speed,
//! the point is stable, the other way round it is not. None is a reason in words, with the speed at which the motor stalls.
//! How: the span is cut into parts and at the corners of both curves, each change of sign narrowed down, each near miss looked
//! into. Where a curve jumps past the other one, that is a meeting too: the drive can neither pass it nor come back from it.
//! Source of the narrowing: T. R. Chandrupatla, "A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear
//! function without using derivatives", Adv. Eng. Softw. 28 (1997).

use super::{Stopped, Torque, moment, places, speed};

/// Into how many parts the span is cut for the first look.
const PARTS: u32 = 96;

/// A speed at which motor and load ask and give the same torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// Speed, rad/s.
    pub speed: f64,
    /// Torque there, N·m.
    pub torque: f64,
    /// Whether the drive comes back to it after a small disturbance.
    pub stable: bool,
}

/// What was found between two speeds.
#[derive(Clone, Debug)]
pub struct Met {
    /// All meetings, by rising speed.
    pub points: Vec<Meeting>,
    /// Accelerating torque at the lower end.
    pub at_low: f64,
    /// Accelerating torque at the upper end.
    pub at_high: f64,
    /// Speed of the smallest accelerating torque, of those looked at.
    lowest: (f64, f64),
    /// Speed of the largest.
    highest: (f64, f64),
}

/// Motor torque less load torque.
pub(super) fn net(motor: &mut dyn Torque, load: &mut dyn Torque, omega: f64) -> Result<f64, Stopped> {
    let net = motor.at(omega)? - load.at(omega)?;
    if net.is_finite() {
        Ok(net)
    } else {
        Err(Stopped::said(
            format!("the torque at {} is no number", speed(omega)),
            "look at the curves there",
        ))
    }
}

/// All meetings between two speeds in rad/s.
///
/// # Errors
/// Ends that are no span, and what the curves stop with.
pub fn meetings(motor: &mut dyn Torque, load: &mut dyn Torque, from: f64, to: f64) -> Result<Met, Stopped> {
    let (low, high) = (from.min(to), from.max(to));
    if !(low.is_finite() && high.is_finite() && low < high) {
        return Err(Stopped::said(
            format!("there is nothing between {} and {}", speed(from), speed(to)),
            "give two different speeds to search between, such as standstill and synchronous speed",
        ));
    }
    let mut size = 0.0_f64;
    let mut looked: Vec<(f64, f64)> = Vec::with_capacity(PARTS as usize + 1);
    for omega in places(motor, load, low, high, PARTS) {
        let (given, asked) = (motor.at(omega)?, load.at(omega)?);
        let net = given - asked;
        if !net.is_finite() {
            return Err(Stopped::said(
                format!("the torque at {} is no number", speed(omega)),
                "look at the curves there",
            ));
        }
        size = size.max(given.abs()).max(asked.abs());
        looked.push((omega, net));
    }
    // Below this, two torques are the same.
    let nothing = size * 1e-12;
    let flat = |net: f64| if net.abs() <= nothing { 0.0 } else { net };
    // A near miss between three points may hide two meetings.
    let mut misses = Vec::new();
    for three in looked.windows(3) {
        if let [(a, left), (_, middle), (b, right)] = three
            && left * middle > 0.0
            && middle * right > 0.0
            && middle.abs() <= left.abs()
            && middle.abs() <= right.abs()
        {
            let side = middle.signum();
            let mut size = |omega: f64| net(motor, load, omega).map(|net| side * net);
            misses.push(smallest(&mut size, *a, *b)?);
        }
    }
    for (omega, _) in misses {
        let value = net(motor, load, omega)?;
        looked.push((omega, value));
    }
    looked.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut points = Vec::new();
    // The last point on either side of zero, and where zero was met since.
    let mut before: Option<(f64, f64)> = None;
    let mut zero: Option<f64> = None;
    for (omega, value) in &looked {
        let value = flat(*value);
        if value == 0.0 {
            zero.get_or_insert(*omega);
            continue;
        }
        match (before, zero) {
            (Some((_, last)), Some(at)) => points.push((at, last > 0.0 && value < 0.0)),
            // Leaving the lower end: it holds if the drive is pushed back to it.
            (None, Some(at)) => points.push((at, value < 0.0)),
            (Some((at, last)), None) if last * value < 0.0 => {
                let root = root(&mut |omega| net(motor, load, omega), (at, last), (*omega, value))?;
                points.push((root, last > 0.0));
            }
            _ => {}
        }
        zero = None;
        before = Some((*omega, value));
    }
    if let Some(at) = zero {
        points.push((at, before.is_none_or(|(_, last)| last > 0.0)));
    }
    let mut met = Vec::with_capacity(points.len());
    for (omega, stable) in points {
        met.push(Meeting {
            speed: omega,
            torque: There::at(motor, load, omega, (low, high))?.torque(),
            stable,
        });
    }
    let first = looked.first().copied().unwrap_or((low, 0.0));
    let last = looked.last().copied().unwrap_or((high, 0.0));
    let lowest = looked
        .iter()
        .copied()
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or(first);
    let highest = looked
        .iter()
        .copied()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or(last);
    Ok(Met {
        points: met,
        at_low: flat(first.1),
        at_high: flat(last.1),
        lowest,
        highest,
    })
}

/// What motor and load do at a speed, and just below and above it.
pub(super) struct There {
    given: f64,
    asked: f64,
    given_beside: (f64, f64),
    asked_beside: (f64, f64),
}

impl There {
    /// At a speed within a span.
    pub fn at(
        motor: &mut dyn Torque,
        load: &mut dyn Torque,
        omega: f64,
        (low, high): (f64, f64),
    ) -> Result<There, Stopped> {
        let step = (high - low).abs() * BESIDE;
        let (below, above) = ((omega - step).max(low.min(high)), (omega + step).min(high.max(low)));
        Ok(There {
            given: motor.at(omega)?,
            asked: load.at(omega)?,
            given_beside: (motor.at(below)?, motor.at(above)?),
            asked_beside: (load.at(below)?, load.at(above)?),
        })
    }

    /// Whether both have the same torque there.
    pub fn equal(&self) -> bool {
        (self.given - self.asked).abs() <= SAME * self.given.abs().max(self.asked.abs())
    }

    /// Whether a torque jumps there, from below to above.
    fn jumps(&self, (below, above): (f64, f64)) -> bool {
        !self.equal() && (above - below).abs() > SAME * self.given.abs().max(self.asked.abs())
    }

    /// The torque at the shaft: where the load jumps past the motor, that of the motor.
    fn torque(&self) -> f64 {
        if self.jumps(self.asked_beside) {
            self.given
        } else {
            self.asked
        }
    }

    /// In words.
    pub fn words(&self) -> String {
        if self.equal() {
            format!("motor and load have the same torque there, {}", moment(self.asked))
        } else if self.jumps(self.asked_beside) {
            format!(
                "the load jumps there: just below it asks for {}, just above for {}, and the motor gives {}",
                moment(self.asked_beside.0),
                moment(self.asked_beside.1),
                moment(self.given)
            )
        } else if self.jumps(self.given_beside) {
            format!(
                "the motor's torque jumps there: just below it is {}, just above {}, and the load asks for {}",
                moment(self.given_beside.0),
                moment(self.given_beside.1),
                moment(self.asked)
            )
        } else {
            format!(
                "there the motor gives {} and the load asks for {}",
                moment(self.given),
                moment(self.asked)
            )
        }
    }
}

/// How near to a speed its two sides lie, as a part of the span.
const BESIDE: f64 = 1e-9;
/// Up to which part of their size two torques are the same, where a meeting is told in words.
const SAME: f64 = 1e-6;

/// What motor and load do at a speed, for a message.
fn both(motor: &mut dyn Torque, load: &mut dyn Torque, omega: f64) -> Result<String, Stopped> {
    Ok(format!(
        "there the motor gives {} and the load asks for {}",
        moment(motor.at(omega)?),
        moment(load.at(omega)?)
    ))
}

/// A drive that runs beyond the speed up to which it was looked at.
pub(super) fn runs_beyond(
    what: &str,
    to: f64,
    motor: &mut dyn Torque,
    load: &mut dyn Torque,
) -> Result<Stopped, Stopped> {
    let (given, asked) = (motor.at(to)?, load.at(to)?);
    Ok(if asked < 0.0 && to > 0.0 {
        Stopped::said(
            format!(
                "{what}: the load drives the motor; at {} it pushes with {}, and the motor {}",
                speed(to),
                moment(-asked),
                if given > 1e-9 * asked.abs() {
                    format!("adds {}", moment(given))
                } else if given < -1e-9 * asked.abs() {
                    format!("holds back only {}", moment(-given))
                } else {
                    "does not hold it back".to_owned()
                }
            ),
            "it runs above synchronous speed, where the motor holds it back as a generator: look up to a speed above that, such as 110 % of it, and see to it that supply or drive can take the power back",
        )
    } else {
        Stopped::said(
            format!("{what}: the motor still gives more torque than the load asks for"),
            "look up to the synchronous speed",
        )
    })
}

/// The point at which the drive runs: the stable one of the highest speed.
///
/// # Errors
/// No stable point, with the speed at which it stalls or the reason in words; what the curves stop with.
pub fn operating(motor: &mut dyn Torque, load: &mut dyn Torque, from: f64, to: f64) -> Result<Meeting, Stopped> {
    let met = meetings(motor, load, from, to)?;
    if let Some(point) = met.points.iter().rev().find(|point| point.stable) {
        return Ok(*point);
    }
    if let Some(point) = met.points.last() {
        return Err(Stopped::stall(
            format!(
                "motor and load meet only at {}, where they do not stay: slower, the motor stalls, faster, it runs away to beyond {}",
                speed(point.speed),
                speed(from.max(to))
            ),
            "search up to the synchronous speed; above it where the load drives the motor",
        ));
    }
    if met.at_low > 0.0 && load.at(from.max(to))? < 0.0 {
        return Err(runs_beyond(
            &format!("the drive runs beyond {}", speed(from.max(to))),
            from.max(to),
            motor,
            load,
        )?);
    }
    if met.at_low > 0.0 {
        let (omega, _) = met.lowest;
        let there = both(motor, load, omega)?;
        return Err(Stopped::said(
            format!(
                "the motor gives more torque than the load asks for at every speed looked at; they come nearest at {}: {there}",
                speed(omega)
            ),
            "search up to the synchronous speed; above it where the load drives the motor",
        ));
    }
    let (omega, _) = met.highest;
    let there = both(motor, load, omega)?;
    Err(Stopped::stall(
        format!(
            "the motor stalls: at every speed looked at the load asks for more torque than the motor gives. They come nearest at {}: {there}",
            speed(omega)
        ),
        "look at the load's gear ratio, the voltage, or take a larger motor",
    ))
}

/// The point below which a running drive stalls: the highest unstable one below the operating point.
///
/// # Errors
/// There is none, as a blank; what the curves stop with.
pub fn unstable(motor: &mut dyn Torque, load: &mut dyn Torque, from: f64, to: f64) -> Result<Meeting, Stopped> {
    let runs = operating(motor, load, from, to)?;
    let met = meetings(motor, load, from, to)?;
    let below = met
        .points
        .iter()
        .rev()
        .find(|point| !point.stable && point.speed < runs.speed);
    below.copied().ok_or_else(|| {
        Stopped::Nothing(format!(
            "there is no unstable point below the operating point at {}: the drive comes up from {}",
            speed(runs.speed),
            speed(from.min(to))
        ))
    })
}

/// Where a drive comes to rest that starts at one speed: the first stable point above it.
///
/// # Errors
/// It does not start, or does not stop below `to`; what the curves stop with.
pub fn reached(motor: &mut dyn Torque, load: &mut dyn Torque, from: f64, to: f64) -> Result<Meeting, Stopped> {
    let met = meetings(motor, load, from, to)?;
    let low = from.min(to);
    let starts = met.at_low > 0.0
        || met
            .points
            .first()
            .is_some_and(|point| point.speed == low && !point.stable);
    if !starts {
        let there = both(motor, load, low)?;
        return Err(Stopped::stall(
            format!("the motor does not start: it stalls at {}; {there}", speed(low)),
            "look at the locked-rotor torque at the voltage of the start, and at what the load asks for at standstill",
        ));
    }
    match met.points.iter().find(|point| point.stable) {
        Some(point) => Ok(*point),
        None => Err(runs_beyond(
            &format!("the drive runs beyond {}", speed(from.max(to))),
            from.max(to),
            motor,
            load,
        )?),
    }
}

/// The zero between two points on either side of it.
pub(super) fn root(
    function: &mut dyn FnMut(f64) -> Result<f64, Stopped>,
    from: (f64, f64),
    to: (f64, f64),
) -> Result<f64, Stopped> {
    let ((mut b, mut fb), (mut a, mut fa)) = (from, to);
    let (mut c, mut fc);
    let mut t = 0.5;
    let mut best = if fa.abs() < fb.abs() { a } else { b };
    for _ in 0..100 {
        let x = a + t * (b - a);
        let fx = function(x)?;
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, b) = (b, a);
            (fc, fb) = (fb, fa);
        }
        (a, fa) = (x, fx);
        best = if fa.abs() < fb.abs() { a } else { b };
        let least = fa.abs().min(fb.abs());
        let fine = 4.0 * f64::EPSILON * best.abs() + f64::MIN_POSITIVE;
        let limit = fine / (b - a).abs().max(f64::MIN_POSITIVE);
        if least == 0.0 || (b - a).abs() <= fine {
            break;
        }
        // Inverse quadratic where it is safe, else the middle.
        let (xi, phi) = ((a - b) / (c - b), (fa - fb) / (fc - fb));
        t = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        t = t.clamp(limit.min(0.5), 1.0 - limit.min(0.5));
    }
    Ok(best)
}

/// Place and value of the smallest value between two ends, by golden section.
pub(super) fn smallest(
    function: &mut dyn FnMut(f64) -> Result<f64, Stopped>,
    from: f64,
    to: f64,
) -> Result<(f64, f64), Stopped> {
    const SHORT: f64 = 0.381_966_011_250_105;
    let (mut a, mut b) = (from, to);
    let (mut x, mut y) = (a + SHORT * (b - a), b - SHORT * (b - a));
    let (mut fx, mut fy) = (function(x)?, function(y)?);
    for _ in 0..48 {
        if fx < fy {
            b = y;
            (y, fy) = (x, fx);
            x = a + SHORT * (b - a);
            fx = function(x)?;
        } else {
            a = x;
            (x, fx) = (y, fy);
            y = b - SHORT * (b - a);
            fy = function(y)?;
        }
        // Both sides of zero are enough.
        if fx.min(fy) < 0.0 {
            break;
        }
    }
    Ok(if fx < fy { (x, fx) } else { (y, fy) })
}
