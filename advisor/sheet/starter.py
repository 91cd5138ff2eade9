"""A commented starter sheet: short, valid as it stands, to be filled in on the bench."""

from __future__ import annotations

from pathlib import Path

from advisor.writing import write_new

STARTER = """\
# Build sheet of a conversion. Fill in what you know; leave out or write `unknown` what you do not.
# Every number has its unit: 58.4 V, 105 Ah, 47 kg, 2/0 AWG, 18 %, -5 .. 38 degC for a range.
# Check it with `advisor sheet check FILE`, judge it with `advisor screen FILE`.
# Words and units for every line: docs/vocabulary.md.

sheet: 1
title: My conversion
stage: order              # order, wiring or handoff

# When every part of a group is listed below, say so; what is not listed then counts as not fitted.
# Groups: battery, drive, protection, conductors, charging, auxiliary, monitoring, mounting,
# old-parts
# complete: [drive, charging]

# How the cables run. Without a plan of them, name a layout: single-bus, series-pair (two packs) or
# parallel-packs. With a plan, list each cable under `wiring:` instead, such as
# `- {id: run-1, from: pack-1.plus, to: main-fuse.in, gauge: 2/0 AWG, length: 6 in}`.
# layout: single-bus

vehicle:
  kind: golf-cart
  # original_voltage: 48 V
  # brakes: rear-drum
  # relies_on_electric_braking: no

use:
  # place: private-dry      # private-wet, public-road, campus, workplace, golf-course
  # region: us              # us, eu, other
  # ambient: -5 .. 38 degC
  # grade_max: 12 %
  # storage_time: 4 month
  # stored_state: disconnect-open
  driven_at_night: unknown

supply:
  voltage: unknown
  # circuit_rating: 15 A
  # cord_used: no

battery:
  packs_in_series: 1
  packs_in_parallel: 1

parts:
  packs:
    - id: pack-1
      chemistry: lfp
      # nominal_voltage: 51.2 V
      # full_voltage: 58.4 V
      # capacity: 105 Ah
      # discharge_continuous: 150 A
      # discharge_peak: 300 A
      # discharge_peak_time: 30 s
      # charge_current_max: 50 A
      # mass: 47 kg
      bms:
        kind: unknown       # internal-switch, external-contactor, sense-only, none
        # cell_over_voltage_trip: 3.70 V/cell
        # low_temperature_charge_block: yes

  # motors:
  #   - id: motor-1
  #     type: separately-excited
  #     rated_voltage: 48 V
  #     rated_power: 3.7 kW

  # controllers:
  #   - id: controller-1
  #     motor_type: separately-excited
  #     input_min: 30 V
  #     input_max: 62 V
  #     battery_current_limit: 200 A

  # contactors:
  #   - {id: main-contactor, role: main, continuous_current: 200 A, coil_voltage: 48 V}

  # fuses:
  #   - {id: main-fuse, role: main, kind: class-t, rating: 200 A, dc_voltage: 125 V}

  # bus_bars:
  #   - {id: plus-bus, circuit: traction, pole: plus, current_rating: 250 A, studs: 6}
  #   - {id: minus-bus, circuit: traction, pole: minus, current_rating: 250 A, studs: 6}

  # chargers:
  #   - {id: charger-1, profile: lithium, set_voltage: 58.4 V, current_max: 15 A}

  # converters:
  #   - {id: converter-1, input_min: 36 V, input_max: 75 V, output_current: 20 A}

  # A kind that is not fitted:  precharges: none

# removed:
#   - {id: old-blocks, kind: lead-acid-block, count: 6, mass: 63 lb, went_to: recycler}

# What you measured:
# readings:
#   - {of: pack-1, what: resting_voltage, value: 53.1 V, instrument: hand meter, time: 2026-03-02}
"""


def write_starter(path: Path) -> None:
    """Write the starter sheet to a new file. Raises ProblemsFoundError."""
    write_new(path, STARTER)
