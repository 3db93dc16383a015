"""Every rule, in the order of the rule table: one line here for each."""

from __future__ import annotations

from lampwright.rule import Rule
from lampwright.rules.address_out_of_range import address_out_of_range
from lampwright.rules.always_lit import always_lit
from lampwright.rules.brightness_is_no_limit import brightness_is_no_limit
from lampwright.rules.conflicting_conditions import conflicting_conditions
from lampwright.rules.conflicting_effects import conflicting_effects
from lampwright.rules.covered_entry import covered_entry
from lampwright.rules.cv_claimed_twice import cv_claimed_twice
from lampwright.rules.cv_out_of_range import cv_out_of_range
from lampwright.rules.dark_output import dark_output
from lampwright.rules.decimal_comma import decimal_comma
from lampwright.rules.dim_bulb import dim_bulb
from lampwright.rules.dim_led import dim_led
from lampwright.rules.duplicate_key import duplicate_key
from lampwright.rules.empty_output import empty_output
from lampwright.rules.flash_rate_off_practice import flash_rate_off_practice
from lampwright.rules.half_wave_bulb import half_wave_bulb
from lampwright.rules.hot_lamp import hot_lamp
from lampwright.rules.hot_on_other_layouts import hot_on_other_layouts
from lampwright.rules.implausible_value import implausible_value
from lampwright.rules.impossible_condition import impossible_condition
from lampwright.rules.inexpressible_condition import inexpressible_condition
from lampwright.rules.inexpressible_look import inexpressible_look
from lampwright.rules.key_off_convention import key_off_convention
from lampwright.rules.key_out_of_reach import key_out_of_reach
from lampwright.rules.lamp_on_logic_output import lamp_on_logic_output
from lampwright.rules.measured_otherwise import measured_otherwise
from lampwright.rules.missing_key import missing_key
from lampwright.rules.missing_unit import missing_unit
from lampwright.rules.missing_wire import missing_wire
from lampwright.rules.misspelt_unit import misspelt_unit
from lampwright.rules.mixed_lamps_in_series import mixed_lamps_in_series
from lampwright.rules.momentary_light import momentary_light
from lampwright.rules.no_preferred_value import no_preferred_value
from lampwright.rules.off_code_wire import off_code_wire
from lampwright.rules.overdriven_led import overdriven_led
from lampwright.rules.overheated_resistor import overheated_resistor
from lampwright.rules.overloaded_contact import overloaded_contact
from lampwright.rules.overloaded_decoder import overloaded_decoder
from lampwright.rules.overloaded_output import overloaded_output
from lampwright.rules.rate_out_of_range import rate_out_of_range
from lampwright.rules.read_only_cv import read_only_cv
from lampwright.rules.reverse_voltage import reverse_voltage
from lampwright.rules.reversed_led import reversed_led
from lampwright.rules.shared_address import shared_address
from lampwright.rules.shared_resistor import shared_resistor
from lampwright.rules.short_stock import short_stock
from lampwright.rules.sneak_path import sneak_path
from lampwright.rules.starved_regulator import starved_regulator
from lampwright.rules.surging_output import surging_output
from lampwright.rules.syntax_error import syntax_error
from lampwright.rules.twice_wired_lamp import twice_wired_lamp
from lampwright.rules.unequal_pair import unequal_pair
from lampwright.rules.unknown_key import unknown_key
from lampwright.rules.unknown_name import unknown_name
from lampwright.rules.unlit_string import unlit_string
from lampwright.rules.unpaired_effect import unpaired_effect
from lampwright.rules.unprotected_led import unprotected_led
from lampwright.rules.unreachable_output import unreachable_output
from lampwright.rules.unreadable_file import unreadable_file
from lampwright.rules.unreadable_quantity import unreadable_quantity
from lampwright.rules.unsupported_version import unsupported_version
from lampwright.rules.unsupported_yaml import unsupported_yaml
from lampwright.rules.unwired_lamp import unwired_lamp
from lampwright.rules.useless_allowance import useless_allowance
from lampwright.rules.wrong_lamp_voltage import wrong_lamp_voltage
from lampwright.rules.wrong_shape import wrong_shape
from lampwright.rules.wrong_unit import wrong_unit
from lampwright.rules.wrong_way_headlamp import wrong_way_headlamp

RULES: tuple[Rule, ...] = (
    syntax_error,
    unsupported_yaml,
    duplicate_key,
    unknown_key,
    missing_key,
    wrong_shape,
    missing_unit,
    wrong_unit,
    misspelt_unit,
    decimal_comma,
    unreadable_quantity,
    implausible_value,
    unknown_name,
    unreadable_file,
    unsupported_version,
    useless_allowance,
    unprotected_led,
    shared_resistor,
    reversed_led,
    mixed_lamps_in_series,
    unwired_lamp,
    twice_wired_lamp,
    dark_output,
    empty_output,
    lamp_on_logic_output,
    missing_wire,
    overloaded_contact,
    off_code_wire,
    half_wave_bulb,
    reverse_voltage,
    sneak_path,
    overloaded_output,
    surging_output,
    overloaded_decoder,
    overdriven_led,
    dim_led,
    unlit_string,
    wrong_lamp_voltage,
    dim_bulb,
    overheated_resistor,
    no_preferred_value,
    unequal_pair,
    hot_lamp,
    brightness_is_no_limit,
    hot_on_other_layouts,
    starved_regulator,
    measured_otherwise,
    impossible_condition,
    conflicting_conditions,
    conflicting_effects,
    covered_entry,
    always_lit,
    wrong_way_headlamp,
    unreachable_output,
    inexpressible_condition,
    inexpressible_look,
    key_out_of_reach,
    unpaired_effect,
    rate_out_of_range,
    flash_rate_off_practice,
    momentary_light,
    key_off_convention,
    address_out_of_range,
    cv_out_of_range,
    cv_claimed_twice,
    read_only_cv,
    shared_address,
    short_stock,
)
