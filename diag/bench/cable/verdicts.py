"""What is said of a supply run: its drop against the limit, and the size that it needs."""

from __future__ import annotations

from diag.bench.cable.sums import DROP_SOURCE, CableRun, Sizes, of_circuit
from diag.bench.figures import Judgement, derive, improve, judge, weakest
from diag.physics.supply.cable import circuit_resistance_ohm
from diag.physics.supply.conductor import Strand


def drop_judgement(got: CableRun, strand: Strand, limit_v: float) -> Judgement:
    """Hold the drop of the cable that is there against a limit (V)."""
    readings = [got["ignition-amps"], *of_circuit(got)]

    def left(a: float, *run: float) -> float:
        m, s, t, j, h = run
        return limit_v - a * circuit_resistance_ohm(m, s, t, strand, j + h)

    margin = derive("margin", "V", left, readings, source=DROP_SOURCE)
    drop_v = limit_v - margin.value
    size = f"{drop_v:.2f} V +- {margin.error:.2f}"
    limit = f"the limit of {limit_v:.2f} V"
    says = {
        "clear yes": ("kept", f"kept: the drop of {size} is within {limit}"),
        "clear no": ("exceeded", f"exceeded: the drop of {size} is above {limit}"),
        "cannot tell": (
            "cannot tell",
            f"cannot tell: the drop of {size} is too near {limit}; {improve(margin, readings)}",
        ),
    }[judge(margin)]
    return Judgement("drop", *says, weakest(margin))


def size_judgement(got: CableRun, sizes: Sizes, limit_v: float) -> Judgement:
    """Name the smallest listed size that keeps the run within its limit (V)."""
    length, amps = got["length"].value, got["ignition-amps"].value
    wide = f"no {sizes.strand} size in the table keeps"
    if sizes.table_mm2:
        wide = f"{sizes.table_mm2:g} mm2 is the smallest {sizes.strand} size that keeps"
    says = f"{wide} {amps:g} A over {length:g} m one way within {limit_v:.2f} V"
    return Judgement("size", "found" if sizes.table_mm2 else "none", says)
