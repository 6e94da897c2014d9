//! A circuit fitted to what a plate and a data sheet say of a motor.
//!
//! Always: the circuit that comes nearest, and how far it stays off: no circuit with constant rotor resistance meets rated slip
//! and locked-rotor torque of a deep-bar rotor at once. Output, input and power factor at rated speed weigh most, then
//! breakdown torque and locked-rotor current, locked-rotor torque least. The usual core loss pulls as far as these values do not
//! fit each other; a plate that a circuit can meet leads to that circuit. A plate is fitted once: what was found is remembered.
//! Source of the method: K. Levenberg, Q. Appl. Math. 2 (1944), D. Marquardt, SIAM J. Appl. Math. 11 (1963): damped least
//! squares, on the logarithms of the parameters so that all stay positive. The weights are common practice, no source.

use std::collections::HashMap;
use std::mem;
use std::sync::{LazyLock, Mutex, PoisonError};

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{Const, SMatrix, SVector};

use super::Stopped;
use super::circuit::Circuit;

/// What is known of the motor, in coherent SI units, in star: voltage of a phase, current of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Rated output, W.
    pub power: f64,
    /// Rated speed, rad/s.
    pub speed: f64,
    /// Synchronous speed, rad/s.
    pub synchronous: f64,
    /// Rated voltage between lines, V.
    pub voltage: f64,
    /// Rated efficiency, 0 to 1.
    pub efficiency: f64,
    /// Rated power factor, 0 to 1.
    pub power_factor: f64,
    /// Friction, windage and stray loss, W.
    pub rotational: f64,
    /// Breakdown torque, N·m.
    pub breakdown: f64,
    /// Locked-rotor current, A.
    pub locked_current: f64,
    /// Locked-rotor torque, N·m.
    pub locked_torque: f64,
    /// Part of the stator in the leakage reactance, 0 to 1.
    pub stator_part: f64,
}

/// A fitted circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// Its parameters, in star.
    pub circuit: Circuit,
    /// How far it is off: the largest deviation from a stated value, as a part of that value.
    pub deviation: f64,
    /// The same among the values between no load and breakdown: output, input, power factor, breakdown torque.
    pub running: f64,
}

const PARAMETERS: usize = 5;
const VALUES: usize = 6;
/// With that of the core loss.
const DEVIATIONS: usize = VALUES + 1;
/// How much a core loss other than a fifth of the losses weighs; little, so that it decides only where nothing else does.
const CORE: f64 = 0.05;
/// The same where the values may decide alone: enough for a problem that has one solution.
const CORE_ALONE: f64 = 1e-4;
/// Deviation from which on the usual core loss weighs in full.
const AT_ODDS: f64 = 0.05;
/// Weights of rated output, rated input, rated power factor, breakdown torque, locked-rotor current, locked-rotor torque.
const WEIGHTS: Values = [10.0, 10.0, 10.0, 3.0, 2.0, 0.05];

type Parameters = [f64; PARAMETERS];
type Values = [f64; VALUES];
/// The bits of a plate.
type Key = ([u64; 9], [u64; 2]);
/// Weighed deviations, and that of the core loss.
type Weighed = [f64; DEVIATIONS];

impl Plate {
    /// What must be more than nothing.
    fn stated(&self) -> [f64; 9] {
        [
            self.power,
            self.speed,
            self.synchronous,
            self.voltage,
            self.efficiency,
            self.power_factor,
            self.breakdown,
            self.locked_current,
            self.locked_torque,
        ]
    }

    /// All that it says, to the last bit.
    fn key(&self) -> Key {
        (
            self.stated().map(f64::to_bits),
            [self.rotational, self.stator_part].map(f64::to_bits),
        )
    }

    fn checked(&self) -> Result<(), Stopped> {
        if self.stated().iter().any(|value| !(value.is_finite() && *value > 0.0))
            || self.rotational.is_nan()
            || self.rotational < 0.0
        {
            return Err(Stopped::said(
                "a value of the plate is not more than nothing",
                "all values of the plate have to be there",
            ));
        }
        if self.speed >= self.synchronous {
            return Err(Stopped::said(
                "the rated speed is not below the synchronous speed",
                "look at the pole count and the frequency",
            ));
        }
        if self.efficiency >= 1.0 || self.power_factor >= 1.0 {
            return Err(Stopped::said(
                "efficiency and power factor of a motor are below 100 %",
                "look at the plate",
            ));
        }
        let losses = self.power / self.efficiency - self.power;
        let slip = 1.0 - self.speed / self.synchronous;
        let rotor = (self.power + self.rotational) * slip / (1.0 - slip);
        if self.rotational + rotor >= losses {
            return Err(Stopped::said(
                format!(
                    "the rotor alone loses {rotor:.0} W at this slip, with {:.0} W of friction and stray loss, and the efficiency leaves {losses:.0} W in all",
                    self.rotational
                ),
                "look at rated speed and efficiency; they cannot both be right with this friction and stray loss",
            ));
        }
        if self.breakdown <= self.power / self.speed {
            return Err(Stopped::said(
                "the breakdown torque is not more than the rated torque",
                "look whether per cent of the rated torque are meant",
            ));
        }
        Ok(())
    }

    fn circuit(&self, of: &Parameters) -> Circuit {
        let [r1, r2, x, xm, rc] = of.map(f64::exp);
        Circuit {
            r1,
            x1: self.stator_part * x,
            r2,
            x2: (1.0 - self.stator_part) * x,
            xm,
            rc: Some(rc),
        }
    }

    /// How far a circuit is off from each value, as a part of it.
    fn deviations(&self, circuit: &Circuit) -> Values {
        let voltage = self.voltage / 3.0_f64.sqrt();
        let rated = circuit.at(voltage, 1.0 - self.speed / self.synchronous);
        let locked = circuit.at(voltage, 1.0);
        [
            (rated.mechanical - self.rotational) / self.power - 1.0,
            rated.input * self.efficiency / self.power - 1.0,
            rated.power_factor() / self.power_factor - 1.0,
            circuit.breakdown_torque(voltage, self.synchronous) / self.breakdown - 1.0,
            locked.current.norm() / self.locked_current - 1.0,
            locked.air_gap / self.synchronous / self.locked_torque - 1.0,
        ]
    }

    fn weighed(&self, of: &Parameters, weight: f64) -> Weighed {
        let [_, _, _, _, core] = of;
        let [_, _, _, _, usual] = self.rough(1.0);
        let [a, b, c, d, e, f] = self.deviations(&self.circuit(of));
        let mut values = [a, b, c, d, e, f, weight * (core - usual)];
        for (value, weight) in values.iter_mut().zip(WEIGHTS) {
            *value *= weight;
        }
        values
    }

    /// A first circuit from the plate by rough relations.
    fn rough(&self, stator: f64) -> Parameters {
        let voltage = self.voltage / 3.0_f64.sqrt();
        let slip = 1.0 - self.speed / self.synchronous;
        let gap = (self.power + self.rotational) / (1.0 - slip);
        let r2 = slip * 3.0 * voltage * voltage / gap * 0.9;
        let x = voltage / self.locked_current;
        let input = self.power / self.efficiency;
        let reactive = input * (1.0 - self.power_factor * self.power_factor).sqrt() / self.power_factor;
        let xm = 3.0 * voltage * voltage / (0.8 * reactive);
        let core = 0.2 * (input - self.power);
        [stator * r2, r2, x, xm, 3.0 * voltage * voltage / core].map(f64::ln)
    }
}

/// The circuit that comes nearest to a plate.
///
/// # Errors
/// Values that no motor has.
pub fn fit(plate: &Plate) -> Result<Fitted, Stopped> {
    if let Some(known) = remembered(|memory| memory.find(plate)) {
        return Ok(known);
    }
    let found = fitted(plate)?;
    remembered(|memory| memory.keep(plate, found));
    Ok(found)
}

/// The same, worked anew.
///
/// # Errors
/// Values that no motor has.
pub fn fitted(plate: &Plate) -> Result<Fitted, Stopped> {
    plate.checked()?;
    let mut best: Option<(f64, Parameters)> = None;
    for stator in [1.0, 0.4, 2.5] {
        let found = nearest(plate, plate.rough(stator), CORE);
        if found.0.is_finite() && best.is_none_or(|(least, _)| found.0 < least) {
            best = Some(found);
        }
    }
    let Some((_, usual)) = best else {
        return Err(Stopped::said(
            "no circuit comes near to these values",
            "look at the values of the plate",
        ));
    };
    // How far the values are at odds with each other says how much the usual core loss has to say.
    let off = |parameters: &Parameters| plate.deviations(&plate.circuit(parameters)).map(f64::abs);
    let (_, alone) = nearest(plate, usual, CORE_ALONE);
    let odds = off(&alone).into_iter().fold(0.0, f64::max) / AT_ODDS;
    let parameters = if odds * CORE <= CORE_ALONE {
        alone
    } else if odds < 1.0 {
        nearest(plate, alone, odds * CORE).1
    } else {
        usual
    };
    let off = off(&parameters);
    Ok(Fitted {
        circuit: plate.circuit(&parameters),
        deviation: off.into_iter().fold(0.0, f64::max),
        running: off.into_iter().take(4).fold(0.0, f64::max),
    })
}

/// Plates that are remembered, in each of two generations: enough for a long list and for the draws of a sheet.
const REMEMBERED: usize = 16_384;

/// Circuits of plates. A sheet asks for each of the parameters on its own, a list for those of many plates.
#[derive(Default)]
struct Memory {
    young: HashMap<Key, Fitted>,
    old: HashMap<Key, Fitted>,
}

static MEMORY: LazyLock<Mutex<Memory>> = LazyLock::new(Mutex::default);

fn remembered<T>(with: impl FnOnce(&mut Memory) -> T) -> T {
    with(&mut MEMORY.lock().unwrap_or_else(PoisonError::into_inner))
}

impl Memory {
    fn find(&mut self, plate: &Plate) -> Option<Fitted> {
        let key = plate.key();
        if let Some(known) = self.young.get(&key) {
            return Some(*known);
        }
        let known = self.old.get(&key).copied()?;
        self.keep(plate, known);
        Some(known)
    }

    fn keep(&mut self, plate: &Plate, found: Fitted) {
        if self.young.len() >= REMEMBERED {
            self.old = mem::take(&mut self.young);
        }
        self.young.insert(plate.key(), found);
    }
}

/// The search for the circuit: logarithms of its parameters, and how much the usual core loss weighs.
struct Search<'a> {
    plate: &'a Plate,
    at: SVector<f64, PARAMETERS>,
    core: f64,
}

impl Search<'_> {
    fn weighed(&self, at: &SVector<f64, PARAMETERS>) -> SVector<f64, DEVIATIONS> {
        SVector::from(self.plate.weighed(&(*at).into(), self.core))
            .map(|value| if value.is_finite() { value } else { FAR })
    }
}

/// What counts for a circuit that is no circuit.
const FAR: f64 = 1e6;

impl LeastSquaresProblem<f64, Const<DEVIATIONS>, Const<PARAMETERS>> for Search<'_> {
    type ResidualStorage = Owned<f64, Const<DEVIATIONS>>;
    type JacobianStorage = Owned<f64, Const<DEVIATIONS>, Const<PARAMETERS>>;
    type ParameterStorage = Owned<f64, Const<PARAMETERS>>;

    fn set_params(&mut self, at: &SVector<f64, PARAMETERS>) {
        self.at = *at;
    }

    fn params(&self) -> SVector<f64, PARAMETERS> {
        self.at
    }

    fn residuals(&self) -> Option<SVector<f64, DEVIATIONS>> {
        Some(self.weighed(&self.at))
    }

    /// Slopes by central differences.
    fn jacobian(&self) -> Option<SMatrix<f64, DEVIATIONS, PARAMETERS>> {
        const STEP: f64 = 1e-5;
        let slopes: [SVector<f64, DEVIATIONS>; PARAMETERS] = std::array::from_fn(|index| {
            let mut by = SVector::<f64, PARAMETERS>::zeros();
            by.iter_mut().skip(index).take(1).for_each(|part| *part = STEP);
            (self.weighed(&(self.at + by)) - self.weighed(&(self.at - by))) / (2.0 * STEP)
        });
        Some(SMatrix::from_columns(&slopes))
    }
}

/// Damped least squares from a first guess, with a weight of the usual core loss: sum of squares and parameters.
fn nearest(plate: &Plate, from: Parameters, core: f64) -> (f64, Parameters) {
    let search = Search {
        plate,
        at: from.into(),
        core,
    };
    let (found, report) = LevenbergMarquardt::new().with_stepbound(0.3).minimize(search);
    (report.objective_function, found.at.into())
}
