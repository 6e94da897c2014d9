//! Run-up and slowing down: time, heat in the rotor, speed after a time, from J·dω/dt = T_M − T_L.
//!
//! Always: before anything is integrated, the way is looked through for a place without accelerating torque; there the drive
//! stalls, and the reason says at which speed. Inertia is taken as constant, and the torque as that of the steady state: the
//! electrical transients of the first cycles are left out.
//! Source: standard relation of electric drives (New Age International, A First Course on Electrical Drives, chapter 5).

use super::meet::{There, meetings, net, root, runs_beyond, smallest};
use super::quadrature::{TOLERANCE, pieced};
use super::{Stopped, Torque, places, speed};

/// Into how many parts the way is cut to look for a stall.
const PARTS: u32 = 120;

/// Relative tolerance where the usual one cannot be held.
const LOOSE: f64 = 1e-8;
/// Pieces of one integral: a speed after a time takes many integrals, and a curve may be slow to ask.
const PIECES: usize = 300;

/// Motor, load and inertia of a drive, all at the motor shaft.
pub struct Drive<'a> {
    /// Torque of the motor, N·m over rad/s.
    pub motor: &'a mut dyn Torque,
    /// Torque of the load, N·m over rad/s.
    pub load: &'a mut dyn Torque,
    /// Inertia of all that turns, kg·m².
    pub inertia: f64,
}

impl Drive<'_> {
    fn net(&mut self, omega: f64) -> Result<f64, Stopped> {
        net(self.motor, self.load, omega)
    }

    fn inertia(&self) -> Result<f64, Stopped> {
        if self.inertia > 0.0 && self.inertia.is_finite() {
            Ok(self.inertia)
        } else {
            Err(Stopped::said(
                "the inertia is not more than nothing",
                "give the inertia of motor and load at the motor shaft",
            ))
        }
    }

    /// Looks along the way from one speed to another for a place where the drive does not go on.
    fn passes(&mut self, from: f64, to: f64) -> Result<(), Stopped> {
        if !(from.is_finite() && to.is_finite()) {
            return Err(Stopped::said("a speed is no number", "look at the values that go in"));
        }
        if from == to {
            return Ok(());
        }
        let way = (to - from).signum();
        let mut size = 0.0_f64;
        let mut looked = Vec::with_capacity(PARTS as usize + 1);
        for omega in places(self.motor, self.load, from, to, PARTS) {
            let mut value = way * self.net(omega)?;
            size = size.max(value.abs());
            // At the end, next to nothing is nothing: the ends of a way are often where the curves meet.
            let last = omega == to;
            if last && value <= 0.0 {
                // A load that resists turns its sign at standstill at once: what holds at the end is what holds just before it.
                let before = way * self.net(to - (to - from) * 1e-9)?;
                if before > 1e-6 * size {
                    value = before;
                }
            }
            if value <= if last { 1e-9 * size } else { 0.0 } {
                let at = match looked.last() {
                    Some(before) if value < 0.0 => root(
                        &mut |omega| self.net(omega).map(|net| way * net),
                        *before,
                        (omega, value),
                    )?,
                    _ => omega,
                };
                return Err(self.stalls(at, from, to)?);
            }
            looked.push((omega, value));
        }
        for three in looked.windows(3) {
            if let [(a, left), (_, middle), (b, right)] = three
                && middle <= left
                && middle <= right
            {
                let (omega, value) = smallest(&mut |omega| self.net(omega).map(|net| way * net), *a, *b)?;
                if value <= 0.0 {
                    let at = root(
                        &mut |omega| self.net(omega).map(|net| way * net),
                        (*a, *left),
                        (omega, value),
                    )?;
                    return Err(self.stalls(at, from, to)?);
                }
            }
        }
        Ok(())
    }

    fn stalls(&mut self, at: f64, from: f64, to: f64) -> Result<Stopped, Stopped> {
        let there = There::at(self.motor, self.load, at, (from, to))?;
        let equal = there.equal();
        let there = there.words();
        if equal && (at - to).abs() <= 1e-9 * (to - from).abs() {
            return Ok(Stopped::stall(
                format!(
                    "{} is where motor and load meet ({there}): a drive comes near to it, but never quite there",
                    speed(to)
                ),
                "ask for a speed a little before it, such as 99 %",
            ));
        }
        if to < from {
            return Ok(Stopped::stall(
                format!(
                    "the drive does not come down below {}: {there}, so it never comes to {}",
                    speed(at),
                    speed(to)
                ),
                "to slow down, the load has to ask for more torque than the motor gives",
            ));
        }
        if at == from {
            return Ok(Stopped::stall(
                format!("the motor stalls at {}: {there}", speed(at)),
                "look at the voltage while starting, at what the load asks for there, or take a larger motor",
            ));
        }
        // Near the end of the way it is no stall, but the operating point.
        let (word, help) = if at > from + 0.9 * (to - from) {
            (
                "the drive runs no faster than",
                "ask for a speed below the operating point",
            )
        } else {
            (
                "the motor stalls at",
                "look at the voltage while starting, at what the load asks for there, or take a larger motor",
            )
        };
        Ok(Stopped::stall(
            format!("{word} {}: {there}, so it never comes to {}", speed(at), speed(to)),
            help,
        ))
    }

    /// An integral over the speed from one place to the next of those given.
    fn integral(&mut self, places: &[f64], value: &mut dyn FnMut(f64, f64, f64) -> f64) -> Result<f64, Stopped> {
        let mut function = |omega: f64| {
            let (given, asked) = (self.motor.at(omega)?, self.load.at(omega)?);
            Ok(value(omega, given, asked))
        };
        let mut sum = pieced(&mut function, places, TOLERANCE, PIECES)?;
        if sum.is_none() {
            // Near the operating point the accelerating torque is a small difference, with fewer digits.
            sum = pieced(&mut function, places, LOOSE, PIECES)?;
        }
        match sum {
            Some(sum) => Ok(sum),
            None => Err(Stopped::said(
                format!(
                    "the time between {} and {} does not settle: somewhere hardly any accelerating torque is left",
                    speed(places.first().copied().unwrap_or(f64::NAN)),
                    speed(places.last().copied().unwrap_or(f64::NAN))
                ),
                "ask for a speed a little before the operating point",
            )),
        }
    }

    /// The corners of both curves between two speeds, with the ends.
    fn pieces(&mut self, from: f64, to: f64) -> Vec<f64> {
        let fine = (to - from).abs() * 1e-12;
        let mut pieces = places(self.motor, self.load, from, to, 1);
        let mut held = f64::NAN;
        // Both sides of a jump are one place here.
        pieces.retain(|place| {
            let apart = *place == to || held.is_nan() || (*place - held).abs() > fine;
            if apart {
                held = *place;
            }
            apart
        });
        pieces
    }

    /// Time in s from one speed to another, in rad/s.
    ///
    /// # Errors
    /// A stall on the way, with its speed; what the curves stop with.
    pub fn time(&mut self, from: f64, to: f64) -> Result<f64, Stopped> {
        let inertia = self.inertia()?;
        self.passes(from, to)?;
        let pieces = self.pieces(from, to);
        self.integral(&pieces, &mut |_, given, asked| inertia / (given - asked))
    }

    /// Heat in J that the rotor circuit takes on the way: slip power over time.
    ///
    /// # Errors
    /// A stall on the way, with its speed; what the curves stop with.
    pub fn rotor_heat(&mut self, synchronous: f64, from: f64, to: f64) -> Result<f64, Stopped> {
        let inertia = self.inertia()?;
        self.passes(from, to)?;
        let pieces = self.pieces(from, to);
        self.integral(&pieces, &mut |omega, given, asked| {
            given * (synchronous - omega) * inertia / (given - asked)
        })
    }

    /// Speed in rad/s after a time in s, starting at `from`; looked for up to `to`.
    ///
    /// # Errors
    /// The drive passes `to` before; what the curves stop with.
    pub fn speed_after(&mut self, from: f64, to: f64, time: f64) -> Result<f64, Stopped> {
        let inertia = self.inertia()?;
        if !(time >= 0.0 && time.is_finite()) {
            return Err(Stopped::said("the time is below zero", "times count from the start on"));
        }
        if time == 0.0 || from == to {
            return Ok(from);
        }
        let way = (to - from).signum();
        let first = way * self.net(from)?;
        if first <= 0.0 {
            // It stays where it is, or goes the other way.
            return self.passes(from, to).map(|()| from);
        }
        // The first place on the way where nothing is left to accelerate.
        let met = meetings(self.motor, self.load, from, to)?;
        let mut stops = if way > 0.0 {
            met.points.iter().map(|point| point.speed).find(|at| *at > from)
        } else {
            met.points.iter().rev().map(|point| point.speed).find(|at| *at < from)
        };
        // What resists turns its sign with the motion: the drive comes to rest at the end of the way and stays.
        let fine = (to - from) * 1e-9;
        if stops.is_none() && self.net(to + fine).is_ok_and(|beyond| way * beyond <= 0.0) {
            stops = Some(to);
        }
        let end = stops.unwrap_or(to);
        let pieces = self.pieces(from, end);
        let mut left = time;
        let mut at = from;
        for _ in 0..60 {
            // Nearer to where it stops, time runs off without end: each step goes half of the way that is left.
            if stops.is_some() && (end - at).abs() <= 1e-5 * (end - from).abs() {
                return self.settles(at, end, left, inertia, (end - from).abs());
            }
            let next = if stops.is_some() { 0.5 * (at + end) } else { end };
            let between = |to: f64| {
                let inside = pieces
                    .iter()
                    .copied()
                    .filter(|place| (*place - at) * (to - *place) > 0.0);
                std::iter::once(at).chain(inside).chain([to]).collect::<Vec<f64>>()
            };
            let takes = self.integral(&between(next), &mut |_, given, asked| inertia / (given - asked))?;
            if takes >= left {
                let mut late = |omega: f64| {
                    Ok(self.integral(&between(omega), &mut |_, given, asked| inertia / (given - asked))? - left)
                };
                return root(&mut late, (at, -left), (next, takes - left));
            }
            left -= takes;
            at = next;
            if stops.is_none() {
                return Err(runs_beyond(
                    &format!("the drive passes {} after {:.3} s", speed(to), time - left),
                    to,
                    self.motor,
                    self.load,
                )?);
            }
        }
        Ok(end)
    }

    /// The last stretch before the place where a drive stays: the accelerating torque is a straight line there, and what is left
    /// of the way dies out by an exponential; where it does not vanish but turns its sign at once, the drive stops at once.
    fn settles(&mut self, at: f64, end: f64, left: f64, inertia: f64, way: f64) -> Result<f64, Stopped> {
        let first = self.net(at)?;
        let last = self.net(end - (end - at) * 1e-3)?;
        let gap = end - at;
        let speed = if last / first > 0.5 {
            let gone = 0.5 * (first + last) / inertia * left;
            if gone.abs() >= gap.abs() { end } else { at + gone }
        } else {
            end - gap * (-(first / (inertia * gap)) * left).exp()
        };
        Ok(if (end - speed).abs() <= 1e-12 * way { end } else { speed })
    }
}
