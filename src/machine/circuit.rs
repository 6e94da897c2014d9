//! The equivalent circuit of an induction motor, for one phase of three, rotor referred to the stator.
//!
//! Always: exact, with the magnetising branch and, where given, the core loss beside it. Worked with admittances, so that
//! synchronous speed is no exception: no rotor current, no torque there. A negative slip generates, a slip above one brakes.
//! Source: the circuit as in induction-machine textbooks (McGraw-Hill, Electric Machinery, 6th ed., chapter 6), resistances and
//! reactances constant: no saturation, no skin effect in the rotor bars.

use num_complex::Complex64;

/// Resistances and reactances of one phase in Ω at the frequency worked with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Stator resistance.
    pub r1: f64,
    /// Stator leakage reactance.
    pub x1: f64,
    /// Rotor resistance, referred to the stator.
    pub r2: f64,
    /// Rotor leakage reactance, referred to the stator.
    pub x2: f64,
    /// Magnetising reactance.
    pub xm: f64,
    /// Core-loss resistance beside the magnetising reactance; `None`: the core loss is left out here.
    pub rc: Option<f64>,
}

/// What the circuit does at one slip. Powers are those of all three phases, in W.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State {
    /// Slip.
    pub slip: f64,
    /// Stator current of one phase, A, against the phase voltage.
    pub current: Complex64,
    /// Rotor current of one phase, referred to the stator, A.
    pub rotor_current: Complex64,
    /// Active power taken from the supply; negative where it is given back.
    pub input: f64,
    /// Reactive power taken from the supply, var.
    pub reactive: f64,
    /// Copper loss of the stator.
    pub stator_loss: f64,
    /// Core loss.
    pub core_loss: f64,
    /// Power across the air gap.
    pub air_gap: f64,
    /// Copper loss of the rotor: slip times air-gap power.
    pub rotor_loss: f64,
    /// Power turned into mechanical power, friction and windage included: one minus slip times air-gap power.
    pub mechanical: f64,
}

impl State {
    /// Active over apparent power.
    pub fn power_factor(&self) -> f64 {
        self.input / self.input.hypot(self.reactive)
    }
}

/// What the stator looks like from the rotor: Thévenin's equivalent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Voltage for one volt of the supply.
    pub ratio: f64,
    /// Impedance, Ω.
    pub impedance: Complex64,
}

impl Circuit {
    fn stator(&self) -> Complex64 {
        Complex64::new(self.r1, self.x1)
    }

    /// Admittance of magnetising reactance and core loss.
    fn magnetising(&self) -> Complex64 {
        Complex64::new(self.rc.map_or(0.0, |rc| 1.0 / rc), -1.0 / self.xm)
    }

    /// Admittance of the rotor; nothing at no slip.
    fn rotor(&self, slip: f64) -> Complex64 {
        slip / Complex64::new(self.r2, slip * self.x2)
    }

    /// All that happens at a phase voltage in V and a slip.
    pub fn at(&self, voltage: f64, slip: f64) -> State {
        let (shunt, rotor) = (self.magnetising(), self.rotor(slip));
        let all = shunt + rotor;
        let gap = voltage / (1.0 + self.stator() * all);
        let current = gap * all;
        let rotor_current = gap * rotor;
        let square = gap.norm_sqr();
        let air_gap = 3.0 * square * rotor.re;
        let power = 3.0 * voltage * current.conj();
        State {
            slip,
            current,
            rotor_current,
            input: power.re,
            reactive: power.im,
            stator_loss: 3.0 * current.norm_sqr() * self.r1,
            core_loss: 3.0 * square * shunt.re,
            air_gap,
            rotor_loss: slip * air_gap,
            mechanical: (1.0 - slip) * air_gap,
        }
    }

    /// Torque of the air gap in N·m at a phase voltage in V, a slip and a synchronous speed in rad/s.
    pub fn torque(&self, voltage: f64, slip: f64, synchronous: f64) -> f64 {
        let rotor = self.rotor(slip);
        let gap = voltage / (1.0 + self.stator() * (self.magnetising() + rotor));
        3.0 * gap.norm_sqr() * rotor.re / synchronous
    }

    /// The stator as the rotor sees it.
    pub fn seen_from_rotor(&self) -> Seen {
        let ratio = 1.0 / (1.0 + self.stator() * self.magnetising());
        Seen {
            ratio: ratio.norm(),
            impedance: self.stator() * ratio,
        }
    }

    /// Slip of the largest motoring torque. Above one where the torque is largest while the shaft turns backwards.
    pub fn breakdown_slip(&self) -> f64 {
        let seen = self.seen_from_rotor().impedance;
        self.r2 / seen.re.hypot(seen.im + self.x2)
    }

    /// Largest motoring torque in N·m at a phase voltage in V and a synchronous speed in rad/s.
    pub fn breakdown_torque(&self, voltage: f64, synchronous: f64) -> f64 {
        let seen = self.seen_from_rotor();
        let z = seen.impedance;
        let voltage = voltage * seen.ratio;
        3.0 * voltage * voltage / (2.0 * synchronous * (z.re + z.re.hypot(z.im + self.x2)))
    }
}
