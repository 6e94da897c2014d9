"""Circuits and run-ups worked apart from the program, for tests/system/machine.rs: cases in as JSON on stdin, results out as JSON.

The circuit: the complex network of three branches solved as a linear system (numpy). The run-up: J dw/dt = T_M - T_L by an
ODE solver (scipy, DOP853), the heat as a second variable of state; the operating point by brentq.
"""

import json
import sys

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq


def network(case):
    """Currents of stator and rotor and the voltage across the gap: two meshes and one node."""
    slip, volt = case["slip"], case["voltage"]
    shunt = 1 / (1j * case["xm"]) + (1 / case["rc"] if case["rc"] else 0)
    matrix = np.array(
        [
            [case["r1"] + 1j * case["x1"], 0, 1],
            [0, case["r2"] / slip + 1j * case["x2"], -1],
            [1, -1, -shunt],
        ],
        complex,
    )
    stator, rotor, gap = np.linalg.solve(matrix, np.array([volt, 0, 0], complex))
    power = 3 * volt * np.conj(stator)
    air_gap = 3 * abs(rotor) ** 2 * case["r2"] / slip
    return {
        "current": [stator.real, stator.imag],
        "rotor_current": [rotor.real, rotor.imag],
        "input": power.real,
        "reactive": power.imag,
        "core_loss": 3 * abs(gap) ** 2 / case["rc"] if case["rc"] else 0.0,
        "air_gap": air_gap,
        "torque": air_gap / case["synchronous"],
    }


def run_up(case):
    synchronous, inertia = case["synchronous"], case["inertia"]

    def motor(omega):
        return case["voltage"] ** 2 * network(dict(case["circuit"], slip=1 - omega / synchronous, voltage=1.0,
                                                   synchronous=synchronous))["torque"]

    def load(omega):
        return case["constant"] + case["square"] * omega * omega

    def change(_, state):
        net = motor(state[0]) - load(state[0])
        return [net / inertia, motor(state[0]) * (synchronous - state[0])]

    def there(_, state):
        return state[0] - case["to"]

    there.terminal = True
    options = {"method": "DOP853", "rtol": 1e-11, "atol": 1e-9}
    ran = solve_ivp(change, (0, 1e4), [0.0, 0.0], events=there, **options)
    half = solve_ivp(change, (0, 0.5 * ran.t[-1]), [0.0, 0.0], **options)
    runs = brentq(lambda omega: motor(omega) - load(omega), case["to"], synchronous * (1 - 1e-9), xtol=1e-13)
    return {"time": ran.t_events[0][0], "heat": ran.y_events[0][0][1], "half": half.y[0][-1], "runs": runs}


cases = json.load(sys.stdin)
json.dump({"circuits": [network(case) for case in cases["circuits"]], "runs": [run_up(case) for case in cases["runs"]]}, sys.stdout)
