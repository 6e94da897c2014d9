//! Torque over speed through the named points of a motor: locked rotor, pull-up, breakdown, rated, no load.
//!
//! Always: through each point, monotone from point to point, so pull-up is the smallest and breakdown the largest torque of the
//! motoring range; from rated to synchronous speed a straight line, and no torque at synchronous speed. Above it the motor
//! generates, and the curve is the same turned about synchronous speed. A shaft turned backwards is not known.
//! Source of the bound on the slopes: F. N. Fritsch, R. E. Carlson, "Monotone piecewise cubic interpolation",
//! SIAM J. Numer. Anal. 17 (1980): three times the slope of the chord.

use super::{Stopped, moment, speed};

/// A named point: speed in rad/s, torque in N·m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Speed.
    pub speed: f64,
    /// Torque.
    pub torque: f64,
}

/// One cubic piece by its ends and the slopes there.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    from: Point,
    to: Point,
    slopes: (f64, f64),
}

impl Piece {
    fn at(&self, omega: f64) -> f64 {
        let width = self.to.speed - self.from.speed;
        let t = (omega - self.from.speed) / width;
        let rise = self.to.torque - self.from.torque;
        let (a, b) = (self.slopes.0 * width - rise, rise - self.slopes.1 * width);
        self.from.torque + t * rise + t * (1.0 - t) * (a * (1.0 - t) + b * t)
    }
}

/// The curve.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedPoints {
    synchronous: f64,
    pieces: Vec<Piece>,
}

impl NamedPoints {
    /// The curve through the named points. Without a pull-up, give the locked-rotor torque at no speed once more.
    ///
    /// # Errors
    /// Points in another order than standstill, pull-up, breakdown, rated, synchronous, or torques that do not fit their names.
    pub fn through(
        synchronous: f64,
        locked_rotor: f64,
        pull_up: Point,
        breakdown: Point,
        rated: Point,
    ) -> Result<NamedPoints, Stopped> {
        let numbers = [
            synchronous,
            locked_rotor,
            pull_up.speed,
            pull_up.torque,
            breakdown.speed,
            breakdown.torque,
            rated.speed,
            rated.torque,
        ];
        if numbers.iter().any(|number| !number.is_finite()) {
            return Err(Stopped::said(
                "a point of the motor is no number",
                "look at the values that go in",
            ));
        }
        let order = [
            ("pull-up", 0.0, pull_up.speed, true),
            ("breakdown", pull_up.speed, breakdown.speed, false),
            ("rated speed", breakdown.speed, rated.speed, false),
            ("synchronous speed", rated.speed, synchronous, false),
        ];
        for (name, below, above, may_meet) in order {
            if !(above > below || (may_meet && above == below)) {
                return Err(Stopped::said(
                    format!("{name} stands at {}, not above {}", speed(above), speed(below)),
                    "the order is standstill, pull-up, breakdown, rated, synchronous speed",
                ));
            }
        }
        let heights = [
            ("the rated torque", rated.torque, 0.0, "nothing"),
            (
                "the breakdown torque",
                breakdown.torque,
                rated.torque,
                "the rated torque",
            ),
            (
                "the breakdown torque",
                breakdown.torque,
                pull_up.torque,
                "the pull-up torque",
            ),
            ("the pull-up torque", pull_up.torque, 0.0, "nothing"),
        ];
        for (name, torque, least, of) in heights {
            if torque <= least {
                return Err(Stopped::said(
                    format!("{name} is {}, not more than {of}, {}", moment(torque), moment(least)),
                    "look whether per cent of the rated torque are meant",
                ));
            }
        }
        if locked_rotor < pull_up.torque {
            return Err(Stopped::said(
                format!(
                    "the pull-up torque is {}, more than the locked-rotor torque, {}; it is the smallest between standstill and breakdown",
                    moment(pull_up.torque),
                    moment(locked_rotor)
                ),
                "where the curve has no dip, give the locked-rotor torque at 0 r/min as pull-up",
            ));
        }
        if locked_rotor > breakdown.torque {
            return Err(Stopped::said(
                format!(
                    "the locked-rotor torque is {}, more than the breakdown torque, {}",
                    moment(locked_rotor),
                    moment(breakdown.torque)
                ),
                "such motors have no breakdown between standstill and rated speed: use points of their own, `curve … through`",
            ));
        }
        if pull_up.speed == 0.0 && pull_up.torque != locked_rotor {
            return Err(Stopped::said(
                "pull-up stands at 0 r/min with another torque than the locked rotor",
                "give the speed of pull-up, or the locked-rotor torque once more",
            ));
        }
        let none = Point {
            speed: synchronous,
            torque: 0.0,
        };
        let mut pieces = Vec::with_capacity(4);
        if pull_up.speed > 0.0 {
            let from = Point {
                speed: 0.0,
                torque: locked_rotor,
            };
            // A parabola that is flat at pull-up.
            let slope = 2.0 * (pull_up.torque - locked_rotor) / pull_up.speed;
            pieces.push(Piece {
                from,
                to: pull_up,
                slopes: (slope, 0.0),
            });
        }
        pieces.push(Piece {
            from: pull_up,
            to: breakdown,
            slopes: (0.0, 0.0),
        });
        let straight = -rated.torque / (synchronous - rated.speed);
        let chord = (rated.torque - breakdown.torque) / (rated.speed - breakdown.speed);
        pieces.push(Piece {
            from: breakdown,
            to: rated,
            slopes: (0.0, straight.max(3.0 * chord)),
        });
        pieces.push(Piece {
            from: rated,
            to: none,
            slopes: (straight, straight),
        });
        Ok(NamedPoints { synchronous, pieces })
    }

    /// The torque at a speed.
    ///
    /// # Errors
    /// A shaft turned backwards, or faster than twice synchronous speed.
    pub fn at(&self, omega: f64) -> Result<f64, Stopped> {
        self.with_piece(omega).map(|(torque, _)| torque)
    }

    /// The torque at a speed, and in which piece of the curve it lies.
    ///
    /// # Errors
    /// As for the torque alone.
    pub fn with_piece(&self, omega: f64) -> Result<(f64, usize), Stopped> {
        let above = omega > self.synchronous;
        let asked = if above { 2.0 * self.synchronous - omega } else { omega };
        // A hair below zero is standstill.
        let asked = if asked < 0.0 && asked > -1e-9 * self.synchronous {
            0.0
        } else {
            asked
        };
        let place = self.pieces.iter().position(|piece| asked <= piece.to.speed);
        match place.and_then(|place| Some((place, self.pieces.get(place)?))) {
            Some((place, piece)) if asked >= 0.0 => Ok(if above {
                (-piece.at(asked), 2 * self.pieces.len() - place)
            } else {
                (piece.at(asked), place)
            }),
            _ => Err(Stopped::said(
                format!(
                    "the named points say nothing of {}: the shaft turns backwards, or faster than twice synchronous speed",
                    speed(omega)
                ),
                "stay between standstill and twice the synchronous speed, or use a circuit",
            )),
        }
    }
}
