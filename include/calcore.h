/*
 * calcore: calculation core for the calibration of industrial temperature loops. C face.
 *
 * Rules that hold for every function:
 *
 * Status. Every call that can fail returns a calcore_status: CALCORE_OK (0), or a positive code: 1xx an input value,
 *   2xx a computation that the data do not support, 3xx a document, 9xx a fault at this border (null pointer, wrong
 *   handle and the like). Any call with pointer arguments may return a 9xx code; the comments name the others.
 * Details. The last argument, `err`, may be null. Otherwise it is the caller's: zero it, set `size`, and, for a text,
 *   `message` and `message_cap`. It is written only when a call fails.
 * Outputs are written only on success, unless a comment says otherwise. The input may be the very array of the output;
 *   arrays that overlap in any other way are refused.
 * Arrays are a pointer and a number of elements. 0 elements are fine, and the pointer may then be null.
 * Structs that begin with `size`: the caller sets it to sizeof of the struct before the call. They grow at the end only.
 * Handles are made by a function that ends in _new or that says so, and released by the matching _free, once; null is
 *   fine there. Releasing one that is still in use by another thread is a fault of the caller. A handle of another type,
 *   and where it can be seen a released one, gives CALCORE_E_HANDLE.
 * Threads. No function keeps any state between calls. A handle does not change once it is made, except where its type says
 *   so (what takes readings one at a time, a file that grows; their calls wait for each other): any number of threads
 *   may use it at once. `err` and outputs belong to one thread during a call.
 * Callbacks must return: neither longjmp nor a C++ exception may leave them.
 * Text is UTF-8 and ends with a zero byte; lengths given with it do not count that byte.
 * Numbers are IEEE 754 doubles; the floating-point environment must be the default one (round to nearest, no flush to
 *   zero). Temperatures `_c` are degrees Celsius on the ITS-90, differences and uncertainties of temperature are kelvin.
 * Integers that stand for a choice are int32_t and checked: an unknown one gives CALCORE_E_OPTION.
 */


#ifndef CALCORE_H
#define CALCORE_H

/* Generated from calcore-ffi/src by `cargo run -p calcore-ffi --example header`; not edited by hand. */

#include <stddef.h>
#include <stdint.h>

/**
 * Number of the binary interface that this header describes. It changes when a program built with an older header
 * could no longer run; the shared library carries it in its SONAME.
 */
#define CALCORE_ABI_VERSION 1

/**
 * The call did what it says.
 */
#define CALCORE_OK 0

/**
 * A NaN or an infinity where a number is needed.
 */
#define CALCORE_E_NOT_FINITE 101

/**
 * A value outside the interval in which the quantity is defined; `low` and `high` of the error hold the limits.
 */
#define CALCORE_E_OUT_OF_RANGE 102

/**
 * A value that the quantity cannot have.
 */
#define CALCORE_E_INVALID_VALUE 103

/**
 * A name that is not one of the known ones.
 */
#define CALCORE_E_UNKNOWN_NAME 104

/**
 * Arrays that belong together differ in length.
 */
#define CALCORE_E_LENGTH_MISMATCH 105

/**
 * Fewer points than the unknowns need.
 */
#define CALCORE_E_TOO_FEW_POINTS 201

/**
 * The points do not determine the unknowns.
 */
#define CALCORE_E_UNDETERMINED 202

/**
 * A matrix that must be positive definite is not; `index` of the error holds the row.
 */
#define CALCORE_E_NOT_POSITIVE_DEFINITE 203

/**
 * An iteration ended without an answer.
 */
#define CALCORE_E_NO_CONVERGENCE 204

/**
 * The caller's model returned a status other than 0; `value` of the error holds it.
 */
#define CALCORE_E_MODEL_FAILED 205

/**
 * A long computation was stopped from outside.
 */
#define CALCORE_E_CANCELLED 206

/**
 * A document that is not what the reader expects, at its first fault.
 */
#define CALCORE_E_DOCUMENT 301

/**
 * A description that contradicts itself; the message lists every contradiction found.
 */
#define CALCORE_E_INVALID_RUN 302

/**
 * A null pointer where the call needs one to something; the message names the argument.
 */
#define CALCORE_E_NULL 901

/**
 * A fault inside the library, caught at the border. Please report it.
 */
#define CALCORE_E_PANIC 902

/**
 * Not a handle of the type that the call takes, or one that was released.
 */
#define CALCORE_E_HANDLE 903

/**
 * The `size` of a struct is less than the first version of the library knew: it was not set.
 */
#define CALCORE_E_STRUCT_SIZE 904

/**
 * A text that is not UTF-8.
 */
#define CALCORE_E_UTF8 905

/**
 * The caller's buffer is too small for the text; the number of bytes that it needs was written.
 */
#define CALCORE_E_BUFFER_TOO_SMALL 906

/**
 * An integer that is none of the choices; `value` of the error holds it.
 */
#define CALCORE_E_OPTION 907

/**
 * A pointer that is not aligned, arrays that overlap without being the same, or a length that no memory can hold.
 */
#define CALCORE_E_POINTER 908

/**
 * The number of an element that is not there; `value` of the error holds it, `high` the last one.
 */
#define CALCORE_E_INDEX 909

/**
 * Unit of temperature: degree Celsius. A difference of 1 is 1 K.
 */
#define CALCORE_CELSIUS 0

/**
 * Unit of temperature: kelvin.
 */
#define CALCORE_KELVIN 1

/**
 * Unit of temperature: degree Fahrenheit. A difference of 1.8 is 1 K.
 */
#define CALCORE_FAHRENHEIT 2

/**
 * Temperature scale of a certificate: International Temperature Scale of 1990.
 */
#define CALCORE_ITS90 0

/**
 * Temperature scale of a certificate: International Practical Temperature Scale of 1968.
 */
#define CALCORE_IPTS68 1

/**
 * Temperature scale of a certificate: International (Practical) Temperature Scale of 1948.
 */
#define CALCORE_IPTS48 2

/**
 * Flag of array functions: none; an element that is not finite or out of range fails the call, before any output.
 */
#define CALCORE_STRICT 0

/**
 * Flag of array functions: an element that is not finite or out of range gives NaN in its place.
 */
#define CALCORE_INVALID_NAN 1

/**
 * Flag of array functions: the equation is used beyond the range of the curve, as far as it means something.
 */
#define CALCORE_EXTRAPOLATE 2

/**
 * Between the rows of a table: straight lines.
 */
#define CALCORE_LINEAR 0

/**
 * Between the rows of a table: cubic pieces with a continuous slope that never turn between two rows.
 */
#define CALCORE_MONOTONE_CUBIC 1

/**
 * Text of a sub-range: its name, the section of the scale that defines it ("3.3.1.1" and so on).
 */
#define CALCORE_SUBRANGE_NAME 0

/**
 * Text of a sub-range: name of coefficient i.
 */
#define CALCORE_SUBRANGE_COEFFICIENT 1

/**
 * Text of a sub-range: fixed point i at which it is calibrated.
 */
#define CALCORE_SUBRANGE_POINT 2

/**
 * Side of a type B couple: none is chosen, and an emf that two temperatures give is refused.
 */
#define CALCORE_SIDE_NONE 0

/**
 * Side of a type B couple: below the minimum of its emf, 0 °C to 21.02 °C.
 */
#define CALCORE_SIDE_LOWER 1

/**
 * Side of a type B couple: above the minimum of its emf, 21.02 °C to 1820 °C.
 */
#define CALCORE_SIDE_UPPER 2

/**
 * Extension wire of the right type whose emf deviates by a stated number of mV.
 */
#define CALCORE_WIRE_DEVIATING 0

/**
 * Extension wire of the right type with its conductors crossed at both ends.
 */
#define CALCORE_WIRE_REVERSED 1

/**
 * Extension wire of another type.
 */
#define CALCORE_WIRE_OTHER 2

/**
 * Two conductors of the same metal in place of an extension wire.
 */
#define CALCORE_WIRE_COPPER 3

/**
 * The ratio at the melting point of gallium is below 1.11807.
 */
#define CALCORE_FAILED_GALLIUM 1

/**
 * The ratio at the triple point of mercury is above 0.844235.
 */
#define CALCORE_FAILED_MERCURY 2

/**
 * The ratio at the freezing point of silver is below 4.2844.
 */
#define CALCORE_FAILED_SILVER 4

/**
 * State of a loop current: at or below the lower failure level; sensor or transmitter failed, or the loop is open.
 */
#define CALCORE_CURRENT_FAILED_LOW 0

/**
 * State of a loop current: between lower failure and lower saturation; it says nothing.
 */
#define CALCORE_CURRENT_UNDEFINED_LOW 1

/**
 * State of a loop current: measuring, the ends included.
 */
#define CALCORE_CURRENT_MEASURING 2

/**
 * State of a loop current: between upper saturation and upper failure; it says nothing.
 */
#define CALCORE_CURRENT_UNDEFINED_HIGH 3

/**
 * State of a loop current: at or above the upper failure level; sensor or transmitter failed.
 */
#define CALCORE_CURRENT_FAILED_HIGH 4

/**
 * How a display comes to its last digit: to the nearest step; halves go to the even one.
 */
#define CALCORE_ROUND_NEAREST 0

/**
 * How a display comes to its last digit: down to the step below.
 */
#define CALCORE_ROUND_TRUNCATE 1

/**
 * Construction of a platinum thermometer: wire-wound.
 */
#define CALCORE_WIRE_WOUND 0

/**
 * Construction of a platinum thermometer: film on a ceramic body.
 */
#define CALCORE_FILM 1

/**
 * How sure a tolerance is: public summaries of the standard agree.
 */
#define CALCORE_CONFIRMED_BY_SUMMARIES 0

/**
 * How sure a tolerance is: public summaries differ; the value is the one of most of them.
 */
#define CALCORE_CONFIRMATION_CONFLICT 1

/**
 * How sure a tolerance is: not confirmed, from memory.
 */
#define CALCORE_UNCONFIRMED 2

/**
 * Form of the entries of a transmitter: R0, A, B, C.
 */
#define CALCORE_ENTRY_ABC 0

/**
 * Form of the entries of a transmitter: R0, alpha, delta, beta.
 */
#define CALCORE_ENTRY_ALPHA_DELTA_BETA 1

/**
 * Digits of an entry: not rounded.
 */
#define CALCORE_DIGITS_ALL 0

/**
 * Digits of an entry: counted after the decimal point.
 */
#define CALCORE_DIGITS_DECIMALS 1

/**
 * Digits of an entry: counted from the first that is not zero.
 */
#define CALCORE_DIGITS_SIGNIFICANT 2

/**
 * How the four entries are rounded: each by itself.
 */
#define CALCORE_ROUND_EACH 0

/**
 * How the four entries are rounded: chosen together on the same grid, so that the largest error is small.
 */
#define CALCORE_ROUND_JOINTLY 1

/**
 * Kind of a fit: Callendar-Van Dusen; parameters r0, a, b, c.
 */
#define CALCORE_FIT_CVD 0

/**
 * Kind of a fit: straight line; parameters intercept, slope.
 */
#define CALCORE_FIT_LINE 1

/**
 * Kind of a fit: polynomial; parameters are the coefficients of 1, x, x^2 and so on.
 */
#define CALCORE_FIT_POLYNOMIAL 2

/**
 * Kind of a fit: Steinhart-Hart; parameters a0, a1, a3 or a0, a1, a2, a3; residuals in 1/K, those of 1/T.
 */
#define CALCORE_FIT_STEINHART_HART 3

/**
 * Kind of a fit: beta of a thermistor; parameters r25, beta; covariance of (ln r25, beta); residuals those of ln R.
 */
#define CALCORE_FIT_BETA 4

/**
 * Kind of a fit: deviation function of the ITS-90; parameters its coefficients; residuals those of W_r.
 */
#define CALCORE_FIT_ITS90 5

/**
 * Kind of a fit: a model of the caller.
 */
#define CALCORE_FIT_MODEL 6

/**
 * Kind of a fit: deviation of a sensor from its reference curve; parameters its coefficients from the first power of t on, or
 * from the constant on if the deviation is free at 0 °C; residuals in the unit of the signal.
 */
#define CALCORE_FIT_DEVIATION 7

/**
 * Bit of `held`: R0 was held.
 */
#define CALCORE_HELD_R0 1

/**
 * Bit of `held`: A was held.
 */
#define CALCORE_HELD_A 2

/**
 * Bit of `held`: B was held.
 */
#define CALCORE_HELD_B 4

/**
 * Bit of `held`: C was held.
 */
#define CALCORE_HELD_C 8

/**
 * Basis of a covariance: stated uncertainties where there are any, else the residuals.
 */
#define CALCORE_BASIS_DEFAULT 0

/**
 * Basis of a covariance: the stated uncertainties alone.
 */
#define CALCORE_BASIS_STATED 1

/**
 * Basis of a covariance: scaled so that chi-squared equals its degrees of freedom.
 */
#define CALCORE_BASIS_RESIDUALS 2

/**
 * Why a fit ended: the problem is linear and was solved directly.
 */
#define CALCORE_STOP_SOLVED_DIRECTLY 0

/**
 * Why a fit ended: a further step changes nothing beyond rounding.
 */
#define CALCORE_STOP_CONVERGED 1

/**
 * Why a fit ended: no better point was found although a step still promised a little.
 */
#define CALCORE_STOP_STALLED 2

/**
 * Why a fit ended: a reason that this header does not know.
 */
#define CALCORE_STOP_OTHER 3

/**
 * Numbers of a fit, one a point: observed minus fitted ordinate (ohm for Callendar-Van Dusen).
 */
#define CALCORE_POINTS_RESIDUALS 0

/**
 * Numbers of a fit, one a point: residuals over the standard uncertainty of the misfit.
 */
#define CALCORE_POINTS_STANDARDISED 1

/**
 * Numbers of a fit, one a point: how much of each point's own ordinate goes into its fitted one, 0 to 1.
 */
#define CALCORE_POINTS_LEVERAGE 2

/**
 * Numbers of a fit, one a point: estimates of the true abscissae (°C for Callendar-Van Dusen).
 */
#define CALCORE_POINTS_ADJUSTED 3

/**
 * Numbers of a fit, one a point: misfit against the fit to all other points, in the unit of the ordinate; NaN where those
 * do not determine it.
 */
#define CALCORE_POINTS_LEAVE_ONE_OUT 5

/**
 * Numbers of a fit, one a point: weights of a robust fit; 1 for every point of an ordinary one.
 */
#define CALCORE_POINTS_WEIGHTS 6

/**
 * Numbers of a fit, one a point: temperature that the fitted curve of a sensor reads, minus the given one, K.
 */
#define CALCORE_POINTS_RESIDUALS_K 4

/**
 * Coverage is asked for as a probability between 0 and 1: the factor follows from the degrees of freedom.
 */
#define CALCORE_COVERAGE_PROBABILITY 0

/**
 * Coverage is asked for as a fixed factor, such as 2: the probability follows.
 */
#define CALCORE_COVERAGE_FACTOR 1

/**
 * Warning of a budget: correlated contributions have finite degrees of freedom; each correlated group was given the
 * smallest of its members.
 */
#define CALCORE_WARNING_CORRELATED_DEGREES_OF_FREEDOM 1

/**
 * Warning of a budget: a sensitivity could not be had to six digits; the model is rough near the estimates.
 */
#define CALCORE_WARNING_UNCERTAIN_SENSITIVITY 2

/**
 * Warning of a budget: the second-order terms could not be had well; the model bends sharply within the uncertainties.
 */
#define CALCORE_WARNING_UNCERTAIN_SECOND_ORDER 4

/**
 * Warning of a budget: one that this header does not know.
 */
#define CALCORE_WARNING_OTHER (1 << 30)

/**
 * Kind of distribution: none of those that this header knows.
 */
#define CALCORE_OTHER_DISTRIBUTION 0

/**
 * Kind of distribution: normal; p1 = mean, p2 = standard uncertainty, and its degrees of freedom.
 */
#define CALCORE_NORMAL 1

/**
 * Kind of distribution: equal density between two limits; p1 = lower, p2 = upper limit.
 */
#define CALCORE_RECTANGULAR 2

/**
 * Kind of distribution: symmetric triangle between two limits; p1 = lower, p2 = upper limit.
 */
#define CALCORE_TRIANGULAR 3

/**
 * Kind of distribution: symmetric trapezoid between two limits; p1 = lower, p2 = upper limit, p3 = top over base, 0 to 1.
 */
#define CALCORE_TRAPEZOIDAL 4

/**
 * Kind of distribution: arcsine between two limits, a sine of unknown phase; p1 = lower, p2 = upper limit.
 */
#define CALCORE_U_SHAPED 5

/**
 * Kind of distribution: Student's t; p1 = mean, p2 = scale s/sqrt(n), and its degrees of freedom, more than 2.
 */
#define CALCORE_STUDENT_T 6

/**
 * Kind of distribution: rectangle with inexact limits; p1 = lower, p2 = upper limit, p3 = half-width of the doubt.
 */
#define CALCORE_CURVILINEAR_TRAPEZOID 7

/**
 * Kind of distribution: exponential from zero; p1 = mean.
 */
#define CALCORE_EXPONENTIAL 8

/**
 * Kind of distribution: gamma from zero; p1 = shape, p2 = scale.
 */
#define CALCORE_GAMMA 9

/**
 * Kind of a line of a budget: the result of another budget. Not a kind of input.
 */
#define CALCORE_COMBINED 10

/**
 * A model whose reading is the result.
 */
#define CALCORE_MODEL_LINEAR 0

/**
 * A model whose result is the temperature at which a curve gives the reading, °C.
 */
#define CALCORE_MODEL_TEMPERATURE 1

/**
 * A model whose result is the signal of a curve at the reading, which is a temperature in °C.
 */
#define CALCORE_MODEL_SIGNAL 2

/**
 * Place of a term: k x is added to the reading.
 */
#define CALCORE_TERM_READING 0

/**
 * Place of a term: k times the signal of the curve at the temperature x, °C, is added to the reading: a reference junction.
 */
#define CALCORE_TERM_JUNCTION 1

/**
 * Place of a term: the reading is multiplied by k x.
 */
#define CALCORE_TERM_FACTOR 2

/**
 * Place of a term: the reading is divided by k x.
 */
#define CALCORE_TERM_DIVISOR 3

/**
 * Place of a term: the reading is multiplied by 1 plus the sum of all k x of this place.
 */
#define CALCORE_TERM_RELATIVE 4

/**
 * Place of a term: k x is added to the result.
 */
#define CALCORE_TERM_RESULT 5

/**
 * Lines of the budget of calcore_temperature_block_budget, in this order: reference certificate, reference drift,
 * indicator resolution, axial, radial, loading, stability, hysteresis, immersion.
 */
#define CALCORE_TEMPERATURE_BLOCK_LINES 9

/**
 * Lines of the budget of calcore_liquid_bath_budget, in this order: reference certificate, reference drift, readout,
 * vertical, horizontal, stability, immersion.
 */
#define CALCORE_LIQUID_BATH_LINES 7

/**
 * Lines of the budget of calcore_reference_probe_budget, in this order: certificate, drift, hysteresis, self-heating,
 * immersion, readout certificate, readout drift, readout resolution.
 */
#define CALCORE_REFERENCE_PROBE_LINES 8

/**
 * Lines of the budget of calcore_rtd_comparison_budget, in this order: reference temperature, stability, uniformity,
 * hysteresis, self-heating, immersion, meter certificate, meter drift, meter resolution, repeatability.
 */
#define CALCORE_RTD_COMPARISON_LINES 10

/**
 * Lines of the budget of calcore_thermocouple_furnace_budget, in this order: reading, voltmeter certificate, voltmeter
 * resolution, parasitic voltages, reference junction, standard certificate, standard drift, furnace uniformity.
 */
#define CALCORE_THERMOCOUPLE_FURNACE_LINES 8

/**
 * Lines of the budget of calcore_thermocouple_emf_budget, in this order: reading, voltmeter certificate, voltmeter
 * resolution, parasitic voltages, extension cables, furnace temperature, reference junction.
 */
#define CALCORE_THERMOCOUPLE_EMF_LINES 7

/**
 * Lines of the budget of calcore_indicator_by_simulation_budget, in this order: source certificate, source drift,
 * source resolution, leads, reference junction, ambient temperature, indicator resolution, repeatability.
 */
#define CALCORE_INDICATOR_BY_SIMULATION_LINES 8

/**
 * Lines of the budget of calcore_transmitter_budget, in this order: input, meter certificate, meter drift, meter
 * resolution, supply and load, ambient temperature, repeatability.
 */
#define CALCORE_TRANSMITTER_LINES 7

/**
 * Lines of the budget of calcore_instrument_in_block_budget, in this order: reference certificate, reference drift,
 * readout, axial, radial, loading, stability, resolution, repeatability.
 */
#define CALCORE_INSTRUMENT_IN_BLOCK_LINES 9

/**
 * To the nearest, but upwards where that would take off more than 5 %. EA-4/02 M:2022, 6.3.
 */
#define CALCORE_ROUND_NO_MORE_THAN_FIVE_PERCENT_DOWN 1

/**
 * Upwards, always.
 */
#define CALCORE_ROUND_UP 2

/**
 * False-accept probability of all items that are measured: the joint one.
 */
#define CALCORE_FALSE_ACCEPT_JOINT 0

/**
 * False-accept probability of the items that are accepted: the conditional one.
 */
#define CALCORE_FALSE_ACCEPT_GIVEN_ACCEPTED 1

/**
 * In-tolerance probability: fraction of items whose true value lies within the tolerance.
 */
#define CALCORE_IN_TOLERANCE_TRUE 0

/**
 * In-tolerance probability: fraction of items that were measured to lie within the tolerance.
 */
#define CALCORE_IN_TOLERANCE_OBSERVED 1

/**
 * Verdict: accepted by the rule.
 */
#define CALCORE_PASS 0

/**
 * Verdict: rejected by the rule.
 */
#define CALCORE_FAIL 1

/**
 * Verdict: within the tolerance, but less than the guard band away from its limit.
 */
#define CALCORE_CONDITIONAL_PASS 2

/**
 * Verdict: outside the tolerance, but less than the guard band away from its limit.
 */
#define CALCORE_CONDITIONAL_FAIL 3

/**
 * Verdict: conformity is not proven; neither is the contrary.
 */
#define CALCORE_NO_PASS 4

/**
 * Verdict: non-conformity is not proven; neither is the contrary.
 */
#define CALCORE_NO_FAIL 5

/**
 * Decision rule: pass within the tolerance, fail outside; the risk is shared. Has no guard band.
 */
#define CALCORE_RULE_SIMPLE 0

/**
 * Decision rule: pass within the tolerance narrowed by the guard band, fail outside.
 */
#define CALCORE_RULE_GUARDED_ACCEPTANCE 1

/**
 * Decision rule: fail outside the tolerance widened by the guard band; within, no fail.
 */
#define CALCORE_RULE_GUARDED_REJECTION 2

/**
 * Decision rule: pass within the tolerance narrowed by the guard band; outside, no pass.
 */
#define CALCORE_RULE_PROOF_OF_CONFORMITY 3

/**
 * Decision rule: pass, conditional pass, conditional fail, fail.
 */
#define CALCORE_RULE_FOUR_STATE 4

/**
 * Guard band: a multiple of the expanded uncertainty; the multiple and the coverage factor are given.
 */
#define CALCORE_GUARD_BAND_EXPANDED 0

/**
 * Guard band: a width in the unit of the value.
 */
#define CALCORE_GUARD_BAND_WIDTH 1

/**
 * Guard band: the width at which a value on the acceptance limit has the given probability to lie beyond the tolerance.
 */
#define CALCORE_GUARD_BAND_RISK 2

/**
 * The last window meets the criterion.
 */
#define CALCORE_STEADY 0

/**
 * Not steady: the record is shorter than the window.
 */
#define CALCORE_UNSTEADY_RECORD_TOO_SHORT 1

/**
 * Not steady: the window holds fewer than three readings.
 */
#define CALCORE_UNSTEADY_TOO_FEW_READINGS 2

/**
 * Not steady: the values spread too far.
 */
#define CALCORE_UNSTEADY_SPAN 3

/**
 * Not steady: the values drift too fast.
 */
#define CALCORE_UNSTEADY_SLOPE 4

/**
 * Not steady, for a reason that this header does not know.
 */
#define CALCORE_UNSTEADY_OTHER 5

/**
 * Not settled: the readings scatter too far about their line.
 */
#define CALCORE_UNSTEADY_SCATTER 6

/**
 * Not settled: more than a fifth of the readings in the window are spikes.
 */
#define CALCORE_UNSTEADY_SPIKES 7

/**
 * Not settled: the criterion is met, but not yet for the dwell.
 */
#define CALCORE_UNSTEADY_DWELL 8

/**
 * What a link is: the sensing element.
 */
#define CALCORE_ELEMENT 0

/**
 * What a link is: a transmitter.
 */
#define CALCORE_TRANSMITTER 1

/**
 * What a link is: the current output of a transmitter whose digital value is read too.
 */
#define CALCORE_OUTPUT_STAGE 2

/**
 * What a link is: a local indicator.
 */
#define CALCORE_INDICATOR 3

/**
 * What a link is: the value an operator sees.
 */
#define CALCORE_CONTROL_SYSTEM 4

/**
 * What a link is: an input card of a control system.
 */
#define CALCORE_INPUT_CARD 5

/**
 * What a link is: a link of the user's own, by its transfer function.
 */
#define CALCORE_CUSTOM_LINK 6

/**
 * Unit of readings: ohm.
 */
#define CALCORE_UNIT_OHM 0

/**
 * Unit of readings: milliampere.
 */
#define CALCORE_UNIT_MA 1

/**
 * Unit of readings: degree Celsius.
 */
#define CALCORE_UNIT_DEGC 2

/**
 * Unit of readings: degree Fahrenheit.
 */
#define CALCORE_UNIT_DEGF 3

/**
 * Unit of readings: kelvin.
 */
#define CALCORE_UNIT_K 4

/**
 * Unit of readings: millivolt.
 */
#define CALCORE_UNIT_MV 5

/**
 * Unit of readings: volt.
 */
#define CALCORE_UNIT_V 6

/**
 * Unit of readings: percent.
 */
#define CALCORE_UNIT_PERCENT 7

/**
 * Unit of readings: a pure number.
 */
#define CALCORE_UNIT_ONE 8

/**
 * Text of a result: version of the core that computed it.
 */
#define CALCORE_TEXT_CORE_VERSION 0

/**
 * Text of a result: document i by which it was computed.
 */
#define CALCORE_TEXT_DOCUMENT 1

/**
 * Text of a result: tag of instrument i.
 */
#define CALCORE_TEXT_INSTRUMENT_TAG 2

/**
 * Text of a result: source of line k of the budget of instrument i at its point j.
 */
#define CALCORE_TEXT_CONTRIBUTION 3

/**
 * Text of a result: tag of the last link of attribution i.
 */
#define CALCORE_TEXT_ATTRIBUTION_TAG 4

/**
 * Text of a result: tag of link j of attribution i.
 */
#define CALCORE_TEXT_ATTRIBUTION_LINK 5

/**
 * Text of a result: tag of the link with the largest share in attribution i.
 */
#define CALCORE_TEXT_ATTRIBUTION_CAUSE 6

/**
 * Text of a result: tag of the link of share k at set point j of attribution i.
 */
#define CALCORE_TEXT_SHARE_TAG 7

/**
 * Text of a result: tag of the element of fit i.
 */
#define CALCORE_TEXT_ELEMENT_TAG 8

/**
 * Text of a result: stable code of warning i.
 */
#define CALCORE_TEXT_WARNING_CODE 9

/**
 * Text of a result: what warning i concerns, as a path into the run.
 */
#define CALCORE_TEXT_WARNING_PATH 10

/**
 * Text of a result: what warning i says.
 */
#define CALCORE_TEXT_WARNING_MESSAGE 11

/**
 * Text of a result: caution i, for work at hot equipment and on live loops.
 */
#define CALCORE_TEXT_CAUTION 12

/**
 * What to do with an instrument: leave it.
 */
#define CALCORE_ACTION_LEAVE 0

/**
 * What to do with an instrument: it passes, adjust it before it drifts out.
 */
#define CALCORE_ACTION_ADJUST_FOR_PREVENTION 1

/**
 * What to do with an instrument: adjust it, and look at what it served since it was last good.
 */
#define CALCORE_ACTION_ADJUST_AND_ASSESS 2

/**
 * What to do with an instrument: something that this header does not know.
 */
#define CALCORE_ACTION_OTHER 4

/**
 * What to do with an instrument: not passed for the uncertainty, not for the error: measure better.
 */
#define CALCORE_ACTION_REDUCE_UNCERTAINTY 3

/**
 * Kind of an adjustment: zero; values: shift (K).
 */
#define CALCORE_ADJUST_ZERO 0

/**
 * Kind of an adjustment: span; values: factor.
 */
#define CALCORE_ADJUST_SPAN 1

/**
 * Kind of an adjustment: two-point trim; values: both temperatures (°C), then both shifts (K).
 */
#define CALCORE_ADJUST_TWO_POINT_TRIM 2

/**
 * Kind of an adjustment: trim of the current output; values: the currents that it gives for 4 mA and for 20 mA (mA), to be entered as
 * measured.
 */
#define CALCORE_ADJUST_OUTPUT_TRIM 3

/**
 * Kind of an adjustment: new coefficients of the element; values: r0 (ohm), a (1/K), b (1/K^2), c (1/K^4).
 */
#define CALCORE_ADJUST_NEW_COEFFICIENTS 4

/**
 * Kind of an adjustment: one that this header does not know.
 */
#define CALCORE_ADJUST_OTHER 5

/**
 * Text of a proposal: tag of the instrument to adjust.
 */
#define CALCORE_PROPOSAL_TAG 0

/**
 * Text of a proposal: tag of the instrument of remaining error j.
 */
#define CALCORE_PROPOSAL_REMAINING_TAG 1

/**
 * Text of a proposal: caution j.
 */
#define CALCORE_PROPOSAL_CAUTION 2

/**
 * How a set point was approached: not said.
 */
#define CALCORE_DIRECTION_UNKNOWN 0

/**
 * How a set point was approached: from below.
 */
#define CALCORE_DIRECTION_UP 1

/**
 * How a set point was approached: from above.
 */
#define CALCORE_DIRECTION_DOWN 2

/**
 * Basis of linearity: the line that makes the largest deviation smallest.
 */
#define CALCORE_LINEARITY_INDEPENDENT 0

/**
 * Basis of linearity: the line through both ends.
 */
#define CALCORE_LINEARITY_TERMINAL 1

/**
 * Basis of linearity: the line through the lower end that makes the largest deviation smallest.
 */
#define CALCORE_LINEARITY_ZERO 2

/**
 * Basis of linearity: nothing is adjusted; y = x itself, or the curve as it stands.
 */
#define CALCORE_LINEARITY_UNADJUSTED 3

/**
 * A curve is read from the signal to the temperature, as a transmitter does; errors are in kelvin.
 */
#define CALCORE_SIGNAL_TO_TEMPERATURE 0

/**
 * A curve is read from the temperature to the signal, as a simulator does; errors are in the unit of the signal.
 */
#define CALCORE_TEMPERATURE_TO_SIGNAL 1

/**
 * Numbers are stored as doubles.
 */
#define CALCORE_NUMBERS_F64 0

/**
 * Numbers are stored in single precision.
 */
#define CALCORE_NUMBERS_F32 1

/**
 * Numbers are stored as integers, fixed-point.
 */
#define CALCORE_NUMBERS_FIXED 2

/**
 * An error was proven by enclosing the derivatives of the error on stretches of the whole range.
 */
#define CALCORE_PROOF_CURVATURE 0

/**
 * An error was proven by trying every reading that the firmware can get.
 */
#define CALCORE_PROOF_EVERY_READING 1

/**
 * Segments are straight; nodes and values are free, the largest error is as small as it can be.
 */
#define CALCORE_SEGMENT_LINEAR 0

/**
 * Segments are straight; nodes lie on the curve.
 */
#define CALCORE_SEGMENT_LINEAR_ON_CURVE 1

/**
 * Segments are parabolas through the nodes, which lie on the curve.
 */
#define CALCORE_SEGMENT_QUADRATIC 2

/**
 * Segments are cubics with the value and the slope of the curve at both nodes.
 */
#define CALCORE_SEGMENT_CUBIC_HERMITE 3

/**
 * Nodes stand where the largest error comes out smallest.
 */
#define CALCORE_NODES_OPTIMAL 0

/**
 * Nodes stand at equal steps of the argument; for fixed-point numbers a power of two of its unit.
 */
#define CALCORE_NODES_EQUAL 1

/**
 * A calibration from the first reading to the last: what was found, what was adjusted, what was left.
 *
 * It grows in the order of the work; calls from several threads wait for each other. Released by calcore_calibration_free.
 */
typedef struct calcore_calibration calcore_calibration;

/**
 * What changed between two runs, one entry for every instrument and set point that both have.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_changes_free.
 */
typedef struct calcore_changes calcore_changes;

/**
 * A sensor curve of any kind: what an element gives at a temperature, and the temperature that gives it. The signal is
 * a resistance in ohm, for a thermocouple an emf in mV, or for a table what its rows are.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_curve_free.
 */
typedef struct calcore_curve calcore_curve;

/**
 * A platinum resistance thermometer by the Callendar-Van Dusen equation:
 * R(t) = R0 (1 + A t + B t^2 + C (t - 100) t^3), with C = 0 for t >= 0. IEC 60751:2022, clause 4.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_cvd_free.
 */
typedef struct calcore_cvd calcore_cvd;

/**
 * A finished fit of any kind.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_fit_free.
 */
typedef struct calcore_fit calcore_fit;

/**
 * Drift of one instrument at one set point over its calibrations.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_history_free.
 */
typedef struct calcore_history calcore_history;

/**
 * The results that rest on a reference that was found off.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_impacts_free.
 */
typedef struct calcore_impacts calcore_impacts;

/**
 * A look-up table of a curve, as the firmware stores and reads it, with a proven largest error.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_lookup_table_free.
 */
typedef struct calcore_lookup_table calcore_lookup_table;

/**
 * A result by a reading and the curve of a sensor, with sensitivities known in closed form.
 *
 * y = weight F(s g) + sum of k x (result), with the sum s of k x (reading) and k S(x) (junction), and the gain g = product of
 * k x (factor) over product of k x (divisor) times (1 + sum of k x (relative)). F is the temperature that gives a signal, the
 * signal at a temperature, or nothing. JCGM 100:2008, 5.1.3.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_measurement_model_free.
 */
typedef struct calcore_measurement_model calcore_measurement_model;

/**
 * A minimax polynomial or quotient of a curve, as the firmware stores and evaluates it, with a proven largest error.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_minimax_free.
 */
typedef struct calcore_minimax calcore_minimax;

/**
 * Takes readings one at a time and judges them.
 *
 * It changes with every reading: calls from several threads wait for each other. Released by calcore_monitor_free.
 */
typedef struct calcore_monitor calcore_monitor;

/**
 * A budget whose lines have names.
 *
 * Immutable once made: what changes it makes another one. Any number of threads may use it at once. Released by
 * calcore_named_budget_free.
 */
typedef struct calcore_named_budget calcore_named_budget;

/**
 * The fewest set points that serve all instruments, their order and time.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_plan_free.
 */
typedef struct calcore_plan calcore_plan;

/**
 * The adjustments that a result proposes, best first as the core orders them.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_proposals_free.
 */
typedef struct calcore_proposals calcore_proposals;

/**
 * The ratio of two variances that tells a steady signal from a moving one, one value at a time.
 *
 * It changes with every value: calls from several threads wait for each other. Released by calcore_r_statistic_free.
 */
typedef struct calcore_r_statistic calcore_r_statistic;

/**
 * A record that was read and computed again.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_record_check_free.
 */
typedef struct calcore_record_check calcore_record_check;

/**
 * What came out of a run. Keeps all it needs: the run may be released before it.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_result_free.
 */
typedef struct calcore_result calcore_result;

/**
 * What was done at the block: reference thermometer, heat source, instruments, raw readings.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_run_free.
 */
typedef struct calcore_run calcore_run;

/**
 * A text that the library wrote, in UTF-8.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_text_free.
 */
typedef struct calcore_text calcore_text;

/**
 * A thermocouple by its letter: types B, E, J, K, N, R, S and T of IEC 60584-1:2013 (NIST Monograph 175), type C of ASTM
 * E230, type A of GOST R 8.585-2001.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_thermocouple_free.
 */
typedef struct calcore_thermocouple calcore_thermocouple;

/**
 * How far an error may go, as a function of temperature: absolute, by span, by reading, by a class, and sums and
 * maxima of these. A limit for an error, not an uncertainty.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_tolerance_free.
 */
typedef struct calcore_tolerance calcore_tolerance;

/**
 * What a call returns: CALCORE_OK or one of the CALCORE_E_ codes, all of them positive.
 */
typedef int32_t calcore_status;

/**
 * What is known about a failure. The struct and the buffer behind `message` are the caller's.
 *
 * Before a call: zero it, set `size` to sizeof(calcore_error) and, if a text is wanted, `message` and `message_cap`.
 * Written only when a call fails; one thread at a time.
 */
typedef struct calcore_error {
    /**
     * sizeof(calcore_error), set by the caller.
     */
    size_t size;
    /**
     * The status that the call returned.
     */
    calcore_status code;
    /**
     * How many elements of an array offend; 0 where no array is concerned.
     */
    uint32_t count;
    /**
     * Buffer of the caller for one line of text; may be null.
     */
    char *message;
    /**
     * Bytes in that buffer. A longer text is cut between characters; it always ends with a zero byte.
     */
    size_t message_cap;
    /**
     * The offending value; NaN where there is none.
     */
    double value;
    /**
     * Lower limit; NaN where there is none.
     */
    double low;
    /**
     * Upper limit; NaN where there is none.
     */
    double high;
    /**
     * Place of the first offending element (or row of a matrix), counted from 0; -1 where there is none.
     */
    int64_t index;
    /**
     * Unit of value and limits, such as "°C", "ohm" or "K"; empty where there is none.
     */
    char unit[16];
    /**
     * The quantity that is wrong, such as "temperature"; empty where there is none.
     */
    char quantity[64];
} calcore_error;

/**
 * The numbers of a calcore_cvd.
 */
typedef struct calcore_cvd_numbers {
    /**
     * sizeof(calcore_cvd_numbers), set by the caller.
     */
    size_t size;
    /**
     * Resistance at 0 °C, ohm.
     */
    double r0;
    /**
     * Coefficient A, 1/K.
     */
    double a;
    /**
     * Coefficient B, 1/K^2.
     */
    double b;
    /**
     * Coefficient C, 1/K^4.
     */
    double c;
    /**
     * alpha = A + 100 B, 1/K.
     */
    double alpha;
    /**
     * delta = -1e4 B / alpha, °C.
     */
    double delta;
    /**
     * beta = -1e8 C / alpha, °C.
     */
    double beta;
    /**
     * Lower end of the range, °C.
     */
    double low_c;
    /**
     * Upper end of the range, °C.
     */
    double high_c;
    /**
     * Lower end of the resistance over that range, ohm.
     */
    double low_ohm;
    /**
     * Upper end of the resistance over that range, ohm.
     */
    double high_ohm;
} calcore_cvd_numbers;

/**
 * The ranges of a curve.
 */
typedef struct calcore_curve_range {
    /**
     * sizeof(calcore_curve_range), set by the caller.
     */
    size_t size;
    /**
     * Lower end of the temperatures in which the curve holds, °C.
     */
    double low_c;
    /**
     * Upper end of them, °C.
     */
    double high_c;
    /**
     * Least signal over that range.
     */
    double low_signal;
    /**
     * Largest signal over that range.
     */
    double high_signal;
    /**
     * Lower end of how far an extrapolation may go, °C.
     */
    double extrapolation_low_c;
    /**
     * Upper end of how far an extrapolation may go, °C.
     */
    double extrapolation_high_c;
} calcore_curve_range;

/**
 * What readings say about the material of an element.
 */
typedef struct calcore_likely {
    /**
     * sizeof(calcore_likely), set by the caller.
     */
    size_t size;
    /**
     * Largest error of the readings by the assumed thermometer, K; NaN if one lies outside its range.
     */
    double assumed_error_k;
    /**
     * Largest error by the best of all thermometers, K; NaN if none holds every reading.
     */
    double best_error_k;
    /**
     * Place of the better thermometer in the list of calcore_polynomial_rtd_name, if the assumed one does not fit within
     * the tolerance and another does; else -1.
     */
    int64_t suspect;
} calcore_likely;

/**
 * What a resistance thermometer by a polynomial is.
 */
typedef struct calcore_polynomial_rtd_numbers {
    /**
     * sizeof(calcore_polynomial_rtd_numbers), set by the caller.
     */
    size_t size;
    /**
     * Resistance at 0 °C, ohm.
     */
    double r0;
    /**
     * (R(100 °C) - R0) / (100 K R0), 1/K.
     */
    double alpha;
    /**
     * Where the slope has a step, °C; NaN where it has none.
     */
    double kink_c;
} calcore_polynomial_rtd_numbers;

/**
 * Whether the platinum is pure and unstrained enough for the scale.
 */
typedef struct calcore_acceptance {
    /**
     * sizeof(calcore_acceptance), set by the caller.
     */
    size_t size;
    /**
     * 1 if the criterion at gallium or the one at mercury is met, else 0.
     */
    int32_t accepted;
    /**
     * 1 if the thermometer may also be used up to the freezing point of silver, 0 if not, 2 without a ratio there.
     */
    int32_t accepted_to_silver;
    /**
     * Which criteria are not met: a sum of CALCORE_FAILED_GALLIUM, CALCORE_FAILED_MERCURY and CALCORE_FAILED_SILVER.
     */
    int32_t failed;
    /**
     * How many criteria were looked at: as many as ratios were given.
     */
    int32_t criteria;
} calcore_acceptance;

/**
 * A sub-range of the ITS-90.
 */
typedef struct calcore_subrange {
    /**
     * sizeof(calcore_subrange), set by the caller.
     */
    size_t size;
    /**
     * Lower end, K.
     */
    double low_k;
    /**
     * Upper end, K.
     */
    double high_k;
    /**
     * Coefficients of its deviation function, without the ratio at aluminium.
     */
    size_t coefficients;
    /**
     * Fixed points at which it is calibrated, the triple point of water left out.
     */
    size_t points;
    /**
     * 1 if the ratio at aluminium follows the coefficients, else 0.
     */
    int32_t needs_aluminium;
    /**
     * Its number in the scale's own table of sub-ranges.
     */
    int32_t number;
} calcore_subrange;

/**
 * The numbers of a calcore_thermocouple.
 */
typedef struct calcore_thermocouple_numbers {
    /**
     * sizeof(calcore_thermocouple_numbers), set by the caller.
     */
    size_t size;
    /**
     * Lower end of the range, °C.
     */
    double low_c;
    /**
     * Upper end of the range, °C.
     */
    double high_c;
    /**
     * Least emf over that range, reference junction at 0 °C, mV.
     */
    double low_mv;
    /**
     * Largest emf over that range, mV.
     */
    double high_mv;
    /**
     * Largest error of the emf, proven, mV.
     */
    double emf_error_bound_mv;
    /**
     * Largest error of the temperature for an exact emf, proven, K.
     */
    double inverse_error_bound_k;
    /**
     * Least emf of the published approximate inverse, mV; NaN where none is published.
     */
    double approximate_low_mv;
    /**
     * Largest emf of the published approximate inverse, mV; NaN where none is published.
     */
    double approximate_high_mv;
} calcore_thermocouple_numbers;

/**
 * What extension wires add to a reading.
 */
typedef struct calcore_wire_error {
    /**
     * sizeof(calcore_wire_error), set by the caller.
     */
    size_t size;
    /**
     * Error of the emf, mV.
     */
    double error_mv;
    /**
     * Error of the temperature that is read, K.
     */
    double error_k;
} calcore_wire_error;

/**
 * A defining fixed point of the scale. Numbers that the scale does not give are NaN.
 */
typedef struct calcore_fixed_point {
    /**
     * sizeof(calcore_fixed_point), set by the caller.
     */
    size_t size;
    /**
     * Temperature, K.
     */
    double t_k;
    /**
     * Temperature, °C.
     */
    double t_c;
    /**
     * Reference ratio as published.
     */
    double w_r;
    /**
     * Change of the temperature with pressure, K/Pa.
     */
    double k_per_pa;
    /**
     * Change of the temperature with depth, K/m.
     */
    double k_per_m;
} calcore_fixed_point;

/**
 * A 4 mA to 20 mA output or input with its range and its levels. Plain numbers: nothing to release, copied freely.
 *
 * calcore_current_loop_init fills it; a program may also set every field itself.
 */
typedef struct calcore_current_loop {
    /**
     * sizeof(calcore_current_loop), set by the caller.
     */
    size_t size;
    /**
     * Value at 4 mA, °C.
     */
    double lower_range_value_c;
    /**
     * Value at 20 mA, °C; may lie below the one at 4 mA (a reversed range), but not be equal to it.
     */
    double upper_range_value_c;
    /**
     * At or below this current: failure, mA.
     */
    double failed_low_ma;
    /**
     * Lowest measuring current, mA.
     */
    double saturated_low_ma;
    /**
     * Highest measuring current, mA.
     */
    double saturated_high_ma;
    /**
     * At or above this current: failure, mA.
     */
    double failed_high_ma;
} calcore_current_loop;

/**
 * Self-heating, with its sensitivities.
 */
typedef struct calcore_self_heating_result {
    /**
     * sizeof(calcore_self_heating_result), set by the caller.
     */
    size_t size;
    /**
     * Power in the element, mW.
     */
    double power_mw;
    /**
     * How far the element is warmer than what surrounds it, K.
     */
    double error_k;
    /**
     * Change of the error with the current, K/mA.
     */
    double error_k_per_ma;
    /**
     * Change of the error with the dissipation constant, K per mW/K.
     */
    double error_k_per_mw_per_k;
} calcore_self_heating_result;

/**
 * Resistance at zero power, with its sensitivities.
 */
typedef struct calcore_zero_power {
    /**
     * sizeof(calcore_zero_power), set by the caller.
     */
    size_t size;
    /**
     * Resistance without self-heating, ohm.
     */
    double ohm;
    /**
     * Self-heating at the first current, ohm.
     */
    double rise_at_first_ohm;
    /**
     * Change with the resistance at the first current, ohm/ohm.
     */
    double per_first_ohm;
    /**
     * Change with the resistance at the second current, ohm/ohm.
     */
    double per_second_ohm;
    /**
     * Change with the first current, ohm/mA.
     */
    double per_first_ma;
    /**
     * Change with the second current, ohm/mA.
     */
    double per_second_ma;
} calcore_zero_power;

/**
 * What a cause does to the reading of a sensor.
 */
typedef struct calcore_effect {
    /**
     * sizeof(calcore_effect), set by the caller.
     */
    size_t size;
    /**
     * Change of the signal, in its unit.
     */
    double signal_change;
    /**
     * Error of the temperature read from the changed signal: read minus true, K.
     */
    double error_k;
    /**
     * Change of that error per unit of the cause: its sensitivity in a budget.
     */
    double error_k_per_unit;
} calcore_effect;

/**
 * Temperature of a measuring junction, with its sensitivities.
 */
typedef struct calcore_junction_reading {
    /**
     * sizeof(calcore_junction_reading), set by the caller.
     */
    size_t size;
    /**
     * Temperature of the measuring junction, °C.
     */
    double t_c;
    /**
     * Emf that the couple would have with its reference junction at 0 °C, mV.
     */
    double total_mv;
    /**
     * Change with the emf, K/mV.
     */
    double per_mv;
    /**
     * Change with the temperature taken for the reference junction, K/K.
     */
    double per_reference_k;
} calcore_junction_reading;

/**
 * A resistance by two directions of the current, with its sensitivities.
 */
typedef struct calcore_reversed_reading {
    /**
     * sizeof(calcore_reversed_reading), set by the caller.
     */
    size_t size;
    /**
     * Resistance, ohm.
     */
    double ohm;
    /**
     * Emf that does not follow the current, mV.
     */
    double emf_mv;
    /**
     * Change of the resistance with the voltage at the forward current, ohm/mV; with the other it is the negative.
     */
    double ohm_per_forward_mv;
    /**
     * Change of the resistance with either current, ohm/mA.
     */
    double ohm_per_ma;
} calcore_reversed_reading;

/**
 * What is known of the errors of the points, and what is held. Zero it and set `size`: then nothing is said and
 * everything is fitted. x and y are temperature (K, °C) and resistance (ohm) for Callendar-Van Dusen.
 *
 * An array may be null; its arrays stay the caller's and are read during the call only.
 */
typedef struct calcore_fit_options {
    /**
     * sizeof(calcore_fit_options), set by the caller.
     */
    size_t size;
    /**
     * Standard uncertainties of the abscissae, independent of each other.
     */
    const double *u_x;
    /**
     * How many: 0 for nothing stated, 1 for all points the same, or one for each point.
     */
    size_t u_x_count;
    /**
     * Standard uncertainties of the ordinates, greater than 0.
     */
    const double *u_y;
    /**
     * How many: as u_x_count.
     */
    size_t u_y_count;
    /**
     * Standard uncertainty of an error shared by all abscissae.
     */
    double u_x_common;
    /**
     * Standard uncertainty of an error shared by all ordinates.
     */
    double u_y_common;
    /**
     * Covariance of the abscissae instead of u_x: n x n, row by row.
     */
    const double *covariance_x;
    /**
     * Covariance of the ordinates instead of u_y: n x n, row by row.
     */
    const double *covariance_y;
    /**
     * Covariance of each abscissa (row) with each ordinate (column), n x n; for straight lines only.
     */
    const double *covariance_xy;
    /**
     * Values at which parameters are held: r0, a, b, c or intercept, slope with NaN for what is fitted; for a
     * polynomial its lowest coefficients, all of them held.
     */
    const double *fixed;
    /**
     * How many: 0 for nothing held; else 4 for Callendar-Van Dusen, 2 for a line, up to the degree for a polynomial.
     */
    size_t fixed_count;
    /**
     * One of the CALCORE_BASIS_ numbers.
     */
    int32_t covariance_basis;
    /**
     * 1 to play down points far from the fit (Huber's weights), else 0.
     */
    int32_t robust;
} calcore_fit_options;

/**
 * A test by chi-squared.
 */
typedef struct calcore_test {
    /**
     * sizeof(calcore_test), set by the caller.
     */
    size_t size;
    /**
     * Sum of squares with the whole covariance.
     */
    double chi_squared;
    /**
     * Probability of a larger one if nothing is wrong.
     */
    double p_value;
    /**
     * Degrees of freedom.
     */
    size_t degrees_of_freedom;
} calcore_test;

/**
 * What a transmitter takes: the form of its four entries and their digits.
 */
typedef struct calcore_entry_grid {
    /**
     * sizeof(calcore_entry_grid), set by the caller.
     */
    size_t size;
    /**
     * CALCORE_ENTRY_ABC or CALCORE_ENTRY_ALPHA_DELTA_BETA.
     */
    int32_t form;
    /**
     * CALCORE_ROUND_EACH or CALCORE_ROUND_JOINTLY.
     */
    int32_t rounding;
    /**
     * For R0 and the three others, in the order of the form: one of the CALCORE_DIGITS_ numbers.
     */
    int32_t counted[4];
    /**
     * How many digits of each.
     */
    int32_t digits[4];
} calcore_entry_grid;

/**
 * Coefficients as a transmitter takes them, with the error that rounding adds.
 */
typedef struct calcore_entries {
    /**
     * sizeof(calcore_entries), set by the caller.
     */
    size_t size;
    /**
     * The four entries, in the order of the form.
     */
    double entries[4];
    /**
     * Largest error of a temperature that rounding adds over the range of the curve, K.
     */
    double largest_error_k;
    /**
     * Where it stands, °C.
     */
    double largest_error_at_c;
    /**
     * Digits of each entry: one of the CALCORE_DIGITS_ numbers.
     */
    int32_t counted[4];
    /**
     * How many digits of each.
     */
    int32_t digits[4];
} calcore_entries;

/**
 * A curve of the caller that is fitted: value at x with `n` parameters, written to `*value`; returns 0, or another status
 * where it has no answer, which ends the fit. `user` is what the caller passed along.
 *
 * It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call.
 */
typedef calcore_status (*calcore_curve_model)(double x,
                                              const double *parameters,
                                              size_t n,
                                              double *value,
                                              void *user);

/**
 * Where the results of a batch go, one row a sensor; NaN in the rows of sensors that could not be fitted. Zero it, set `size`,
 * and set the pointers to what is wanted; null leaves a result out. The arrays are the caller's and must overlap with
 * nothing.
 */
typedef struct calcore_batch_results {
    /**
     * sizeof(calcore_batch_results), set by the caller.
     */
    size_t size;
    /**
     * R0 (ohm), A (1/K), B (1/K^2), C (1/K^4): 4 numbers a sensor.
     */
    double *coefficients;
    /**
     * Covariance over R0, A, B, C, row by row: 16 numbers a sensor.
     */
    double *covariance;
    /**
     * Chi-squared where uncertainties are stated, else the sum of squares of the residuals, ohm^2.
     */
    double *chi_squared;
    /**
     * Points minus fitted coefficients.
     */
    size_t *degrees_of_freedom;
    /**
     * Observed minus fitted resistance of each point, ohm: as many numbers as resistances.
     */
    double *residuals_ohm;
    /**
     * CALCORE_OK or why the sensor could not be fitted: a CALCORE_E_ code for each sensor.
     */
    calcore_status *statuses;
} calcore_batch_results;

/**
 * R0, alpha, delta and beta of a fitted curve with their covariance.
 */
typedef struct calcore_alpha_delta_beta {
    /**
     * sizeof(calcore_alpha_delta_beta), set by the caller.
     */
    size_t size;
    /**
     * R0, ohm.
     */
    double r0;
    /**
     * alpha, 1/K.
     */
    double alpha;
    /**
     * delta, °C.
     */
    double delta;
    /**
     * beta, °C.
     */
    double beta;
    /**
     * Covariance of (r0, alpha, delta, beta), row by row; NaN where the fit has none.
     */
    double covariance[16];
} calcore_alpha_delta_beta;

/**
 * What a fit says of its quality. Numbers that there are not are NaN.
 */
typedef struct calcore_fit_report {
    /**
     * sizeof(calcore_fit_report), set by the caller.
     */
    size_t size;
    /**
     * Points.
     */
    size_t points;
    /**
     * Parameters, held ones included: rows of the covariance.
     */
    size_t parameters;
    /**
     * Points minus fitted parameters.
     */
    size_t degrees_of_freedom;
    /**
     * Warnings; see calcore_fit_warning.
     */
    size_t warnings;
    /**
     * Steps made.
     */
    size_t iterations;
    /**
     * Sum of the squared errors in units of their uncertainty; NaN where nothing is stated.
     */
    double chi_squared;
    /**
     * Probability of a larger chi-squared if the stated uncertainties are right.
     */
    double p_value;
    /**
     * Ratio of the largest to the smallest singular value of the weighted design.
     */
    double condition_number;
    /**
     * Standard deviation of the residuals, in the unit of the ordinate; NaN without degrees of freedom.
     */
    double residual_standard_deviation;
    /**
     * Part of the sum of squares that a polynomial explains; NaN for other fits.
     */
    double r_squared;
    /**
     * CALCORE_FIT_CVD to CALCORE_FIT_DEVIATION.
     */
    int32_t kind;
    /**
     * CALCORE_BASIS_STATED or CALCORE_BASIS_RESIDUALS.
     */
    int32_t covariance_basis;
    /**
     * 1 if the fit has a covariance, else 0: neither uncertainties are stated nor residuals left to take it from.
     */
    int32_t has_covariance;
    /**
     * One of the CALCORE_STOP_ numbers.
     */
    int32_t stop_reason;
    /**
     * For Callendar-Van Dusen the sum of the CALCORE_HELD_ numbers of what was held, C at the value of the standard
     * included; 0 for other fits.
     */
    int32_t held;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_fit_report;

/**
 * How good a choice of set points is.
 */
typedef struct calcore_set_point_choice {
    /**
     * sizeof(calcore_set_point_choice), set by the caller.
     */
    size_t size;
    /**
     * Largest standard uncertainty of the curve fitted to these points, over the range, K.
     */
    double largest_uncertainty_k;
    /**
     * Where it stands, °C.
     */
    double at_c;
    /**
     * How many times larger it is than that of the best choice of as many points: 1 is as good.
     */
    double ratio;
} calcore_set_point_choice;

/**
 * A model of the caller: takes `n` values, writes its result to `*result` and returns 0; any other status means that it
 * has no answer there. `user` is what the caller passed along.
 *
 * It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call, many times,
 * with values near the estimates.
 */
typedef calcore_status (*calcore_model)(const double *values,
                                        size_t n,
                                        double *result,
                                        void *user);

/**
 * What is known about an input quantity, in the unit of the quantity. Elements of arrays: this struct never grows.
 *
 * The numbers that the kind does not name are not looked at. In messages the inputs are called x0, x1 and so on.
 */
typedef struct calcore_input {
    /**
     * Kind of distribution: CALCORE_NORMAL to CALCORE_GAMMA.
     */
    int32_t kind;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * First number of the kind.
     */
    double p1;
    /**
     * Second number of the kind.
     */
    double p2;
    /**
     * Third number of the kind.
     */
    double p3;
    /**
     * Degrees of freedom of a normal distribution's standard uncertainty or of Student's t, greater than 0; INFINITY
     * where exact. Not looked at for other kinds.
     */
    double degrees_of_freedom;
} calcore_input;

/**
 * The uncertainty of a result. JCGM 100:2008, clauses 5, 6 and annex G.
 */
typedef struct calcore_budget {
    /**
     * sizeof(calcore_budget), set by the caller.
     */
    size_t size;
    /**
     * Best estimate of the result.
     */
    double value;
    /**
     * Combined standard uncertainty, in the unit of the result.
     */
    double standard_uncertainty;
    /**
     * Effective degrees of freedom, not truncated; INFINITY where every contribution is exact.
     */
    double effective_degrees_of_freedom;
    /**
     * Probability with which value plus or minus expanded uncertainty covers the quantity.
     */
    double coverage_probability;
    /**
     * Expanded over standard uncertainty.
     */
    double coverage_factor;
    /**
     * Expanded uncertainty, in the unit of the result.
     */
    double expanded_uncertainty;
    /**
     * Sum of the CALCORE_WARNING_ numbers that apply; 0 for none.
     */
    int32_t warnings;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Variance that the second order added, in the square of the unit of the result; 0 to first order.
     */
    double second_order_variance;
    /**
     * By how much the expectation of the result lies off `value`, to second order; 0 to first order.
     */
    double expectation_shift;
} calcore_budget;

/**
 * One line of a budget. Elements of arrays: this struct never grows.
 */
typedef struct calcore_contribution {
    /**
     * Kind of distribution; CALCORE_OTHER_DISTRIBUTION for one that this header does not know.
     */
    int32_t kind;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Best estimate, in the unit of the source.
     */
    double estimate;
    /**
     * Standard uncertainty, in the unit of the source.
     */
    double standard_uncertainty;
    /**
     * Degrees of freedom of the standard uncertainty; INFINITY where exact.
     */
    double degrees_of_freedom;
    /**
     * How far the result moves per unit of the source, with its sign.
     */
    double sensitivity;
    /**
     * Sensitivity times standard uncertainty, in the unit of the result.
     */
    double contribution;
    /**
     * Part of the variance of the result, as a fraction; the shares of a budget add up to 1. Negative where
     * correlated sources cancel.
     */
    double share;
} calcore_contribution;

/**
 * The mean of repeated readings and how well it is known. JCGM 100:2008, 4.2.
 */
typedef struct calcore_type_a {
    /**
     * sizeof(calcore_type_a), set by the caller.
     */
    size_t size;
    /**
     * Mean of the readings.
     */
    double mean;
    /**
     * Experimental standard deviation of one reading.
     */
    double standard_deviation;
    /**
     * Standard uncertainty of the mean.
     */
    double standard_uncertainty;
    /**
     * Degrees of freedom of the standard uncertainty.
     */
    double degrees_of_freedom;
    /**
     * Number of independent readings that the readings are worth for their mean.
     */
    double effective_readings;
    /**
     * 1 where the resolution took the place of a smaller scatter.
     */
    int32_t limited_by_resolution;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_type_a;

/**
 * A model of the caller with several results: takes `n` values, fills `results` with `m` numbers and returns 0; any other
 * status means that it has no answer there. `user` is what the caller passed along.
 *
 * It must return: neither longjmp nor a C++ exception may leave it. It is called on the thread of the call.
 */
typedef calcore_status (*calcore_model_of_many)(const double *values,
                                                size_t n,
                                                double *results,
                                                size_t m,
                                                void *user);

/**
 * An input of a measurement model. Elements of arrays: this struct never grows.
 */
typedef struct calcore_term {
    /**
     * CALCORE_TERM_.
     */
    int32_t place;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Coefficient k.
     */
    double coefficient;
} calcore_term;

/**
 * A number that is the same at all points, or one for each. Elements of arrays: this struct never grows.
 */
typedef struct calcore_at_points {
    /**
     * One number a point, or null.
     */
    const double *each;
    /**
     * The number at all points, where `each` is null.
     */
    double one;
} calcore_at_points;

/**
 * What is known of an input at every point, in its own unit. Elements of arrays: this struct never grows.
 */
typedef struct calcore_point_input {
    /**
     * Best estimate.
     */
    struct calcore_at_points estimate;
    /**
     * Standard uncertainty.
     */
    struct calcore_at_points standard_uncertainty;
    /**
     * Degrees of freedom of the standard uncertainty; INFINITY where exact.
     */
    struct calcore_at_points degrees_of_freedom;
} calcore_point_input;

/**
 * A model of arrays: takes `n` inputs of `trials` values each (values[i][k] is input i in trial k), fills `results` with
 * `trials` numbers and returns 0; any other status ends the run. `user` is what the caller passed along.
 *
 * It must return: neither longjmp nor a C++ exception may leave it. With more than one thread it is called from several at
 * once, unless the settings say that only the calling thread may.
 */
typedef calcore_status (*calcore_model_of_arrays)(const double *const *values,
                                                  size_t n,
                                                  size_t trials,
                                                  double *results,
                                                  void *user);

/**
 * How a Monte Carlo run is made. Zero everything, then set `size` and what is wanted.
 */
typedef struct calcore_monte_carlo_settings {
    /**
     * sizeof(calcore_monte_carlo_settings).
     */
    size_t size;
    /**
     * Number of trials, of an adaptive run the most; 0 means a million.
     */
    uint64_t trials;
    /**
     * Seed: same seed, same result, on all faces and any number of threads.
     */
    uint64_t seed;
    /**
     * Probability of the coverage intervals, between 0 and 1; 0 means 0.95.
     */
    double coverage_probability;
    /**
     * Significant digits of the standard uncertainty, 1 to 6, to which an adaptive run makes its results stable; 0 for a
     * fixed number of trials.
     */
    int32_t digits;
    /**
     * Threads; 0 means one. Without influence on the result.
     */
    int32_t threads;
    /**
     * Null, or a number for each input: inputs with the same number greater than 0 come from readings taken together and are
     * drawn as a multivariate t, with one chi-squared variable for all of them (JCGM 102:2011, 5.3.2.4). They are Student's t
     * or normal with finite degrees of freedom, all with the same, and correlated with nothing else. 0 for the other inputs.
     */
    const int32_t *multivariate_t;
    /**
     * 1: the model is called on the calling thread only, block after block, while the other threads draw the next ones. 0: on
     * all threads.
     */
    int32_t model_on_calling_thread;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_monte_carlo_settings;

/**
 * Is told, on the thread of the call, how many trials are done and how many there will be (of an adaptive run: at most); a
 * return other than 0 ends the run with CALCORE_E_CANCELLED. It must return, as a model must.
 */
typedef int32_t (*calcore_progress)(uint64_t done,
                                    uint64_t total,
                                    void *user);

/**
 * Outcome of a Monte Carlo run. JCGM 101:2008, 7.5 to 7.7.
 */
typedef struct calcore_monte_carlo_result {
    /**
     * sizeof(calcore_monte_carlo_result), set by the caller.
     */
    size_t size;
    /**
     * Estimate: mean of the values.
     */
    double mean;
    /**
     * Standard error of the estimate.
     */
    double mean_standard_error;
    /**
     * Standard uncertainty: standard deviation of the values.
     */
    double standard_uncertainty;
    /**
     * Probability of the intervals.
     */
    double coverage_probability;
    /**
     * Shortest coverage interval: lower and upper end.
     */
    double interval[2];
    /**
     * Standard errors of its ends; INFINITY where there are too few trials to tell.
     */
    double interval_standard_error[2];
    /**
     * Probabilistically symmetric coverage interval: lower and upper end.
     */
    double interval_symmetric[2];
    /**
     * Standard errors of its ends.
     */
    double interval_symmetric_standard_error[2];
    /**
     * How far off the ends may be because they come from a histogram; 0 when all values were kept.
     */
    double resolution;
    /**
     * Numerical tolerance of an adaptive run; NAN for a fixed number of trials.
     */
    double tolerance;
    /**
     * Trials made.
     */
    uint64_t trials;
    /**
     * 1 when an adaptive run became stable, 0 when it did not, -1 for a fixed number of trials.
     */
    int32_t converged;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Lower edge of the first class of the histogram; NAN without one.
     */
    double histogram_low;
    /**
     * Upper edge of its last class; NAN without one.
     */
    double histogram_high;
    /**
     * Classes that the histogram has, at most as many as asked for (fewer only where it is put together from a finer one, of
     * a run too long to be kept); 0 without one.
     */
    size_t histogram_classes;
} calcore_monte_carlo_result;

/**
 * Comparison of a first-order result with a Monte Carlo run. JCGM 101:2008, 8.1.
 */
typedef struct calcore_monte_carlo_validation {
    /**
     * sizeof(calcore_monte_carlo_validation), set by the caller.
     */
    size_t size;
    /**
     * Distance of the lower ends.
     */
    double difference_low;
    /**
     * Distance of the upper ends.
     */
    double difference_high;
    /**
     * The tolerance that belongs to the digits.
     */
    double tolerance;
    /**
     * 1 where both ends agree within the tolerance.
     */
    int32_t valid;
    /**
     * 1 where there were trials enough for the comparison not to be a matter of luck.
     */
    int32_t enough_trials;
} calcore_monte_carlo_validation;

/**
 * Calibration of a temperature block with its own indicator at one temperature. EURAMET cg-13; EA-4/02 M, S10. Every
 * number must be stated; what does not apply is 0.
 */
typedef struct calcore_temperature_block_sources {
    /**
     * sizeof(calcore_temperature_block_sources), set by the caller.
     */
    size_t size;
    /**
     * Expanded uncertainty of the reference thermometer with its readout, by certificate, K.
     */
    double reference_expanded_k;
    /**
     * Coverage factor of that.
     */
    double reference_coverage_factor;
    /**
     * Limit of the drift of the reference since its calibration, plus or minus, K.
     */
    double reference_drift_half_width_k;
    /**
     * Step of the block's indicator, K; 0 with an external reference only.
     */
    double indicator_resolution_k;
    /**
     * Differences along the measuring zone, plus or minus, K.
     */
    double axial_half_width_k;
    /**
     * Differences between bores, plus or minus, K.
     */
    double radial_half_width_k;
    /**
     * Effect of filling the other bores, plus or minus, K.
     */
    double loading_half_width_k;
    /**
     * Half of the largest less the smallest in 30 minutes, plus or minus, K.
     */
    double stability_half_width_k;
    /**
     * Half of the difference of the indicator up and down, plus or minus, K.
     */
    double hysteresis_half_width_k;
    /**
     * Heat conduction along the thermometer, plus or minus, K.
     */
    double immersion_half_width_k;
} calcore_temperature_block_sources;

/**
 * Temperature at the place of the thermometer under test in a stirred bath, by a reference thermometer beside it.
 * Common practice, no source; the lines are those of EA-4/02 M, S10 as far as they apply to a bath. Every number must
 * be stated; what does not apply is 0.
 */
typedef struct calcore_liquid_bath_sources {
    /**
     * sizeof(calcore_liquid_bath_sources), set by the caller.
     */
    size_t size;
    /**
     * Expanded uncertainty of the reference thermometer by certificate, K.
     */
    double reference_expanded_k;
    /**
     * Coverage factor of that.
     */
    double reference_coverage_factor;
    /**
     * Limit of the drift of the reference since its calibration, plus or minus, K.
     */
    double reference_drift_half_width_k;
    /**
     * Standard uncertainty of its readout, K.
     */
    double readout_standard_k;
    /**
     * Differences over the depth that is used, plus or minus, K.
     */
    double vertical_half_width_k;
    /**
     * Differences over the area that is used, plus or minus, K.
     */
    double horizontal_half_width_k;
    /**
     * Half of the largest less the smallest while reading, plus or minus, K.
     */
    double stability_half_width_k;
    /**
     * Heat conduction along the thermometers, plus or minus, K.
     */
    double immersion_half_width_k;
} calcore_liquid_bath_sources;

/**
 * Temperature by a reference probe and a readout of its signal (ohm or millivolt). One and the same error for every
 * instrument and every set point: it is never averaged down. EURAMET cg-13 and EA-4/02 M, S10; which lines a probe
 * has: common practice, no source. Every number must be stated; what does not apply is 0.
 */
typedef struct calcore_reference_probe_sources {
    /**
     * sizeof(calcore_reference_probe_sources), set by the caller.
     */
    size_t size;
    /**
     * Expanded uncertainty of the probe by certificate, K.
     */
    double certificate_expanded_k;
    /**
     * Coverage factor of that, as the certificate states it.
     */
    double certificate_coverage_factor;
    /**
     * Limit of the drift since the calibration, plus or minus, K.
     */
    double drift_half_width_k;
    /**
     * Half of the difference between coming from above and from below, plus or minus, K.
     */
    double hysteresis_half_width_k;
    /**
     * Limit of the self-heating that differs from that at calibration, plus or minus, K.
     */
    double self_heating_half_width_k;
    /**
     * Heat conduction along the probe, plus or minus, K.
     */
    double immersion_half_width_k;
    /**
     * Slope of the probe at the temperature, signal per kelvin, K.
     */
    double slope_per_k;
    /**
     * Expanded uncertainty of the readout by certificate, signal.
     */
    double readout_expanded;
    /**
     * Coverage factor of that.
     */
    double readout_coverage_factor;
    /**
     * Limit of the drift of the readout, plus or minus, signal.
     */
    double readout_drift_half_width;
    /**
     * Step of the readout, signal.
     */
    double readout_resolution;
} calcore_reference_probe_sources;

/**
 * Resistance of a thermometer at a temperature, by comparison in a block or bath. EA-4/02 M, S5 (the form, there for a
 * thermocouple); which lines a resistance thermometer has: common practice, no source. Every number must be stated;
 * what does not apply is 0.
 */
typedef struct calcore_rtd_comparison_sources {
    /**
     * sizeof(calcore_rtd_comparison_sources), set by the caller.
     */
    size_t size;
    /**
     * Standard uncertainty of the reference temperature, K: of a reference probe's budget.
     */
    double reference_standard_k;
    /**
     * Its degrees of freedom; infinite where exact.
     */
    double reference_degrees_of_freedom;
    /**
     * Stability while reading, plus or minus, K.
     */
    double stability_half_width_k;
    /**
     * Differences between the places of reference and thermometer, plus or minus, K.
     */
    double uniformity_half_width_k;
    /**
     * Half of the difference between coming from above and from below, plus or minus, K.
     */
    double hysteresis_half_width_k;
    /**
     * Limit of the self-heating that is not corrected, plus or minus, K.
     */
    double self_heating_half_width_k;
    /**
     * Heat conduction along the thermometer, plus or minus, K.
     */
    double immersion_half_width_k;
    /**
     * Slope of the thermometer, ohm/K.
     */
    double slope_ohm_per_k;
    /**
     * Expanded uncertainty of the meter by certificate, ohm.
     */
    double meter_expanded_ohm;
    /**
     * Coverage factor of that.
     */
    double meter_coverage_factor;
    /**
     * Limit of the drift of the meter, plus or minus, ohm.
     */
    double meter_drift_half_width_ohm;
    /**
     * Step of the meter, ohm.
     */
    double meter_resolution_ohm;
    /**
     * Standard deviation of the repeated readings, ohm.
     */
    double scatter_ohm;
    /**
     * Number of readings, at least 2.
     */
    uint32_t readings;
    /**
     * Zero.
     */
    uint32_t reserved;
} calcore_rtd_comparison_sources;

/**
 * Temperature of a furnace by standard thermocouples: the first step of the comparison of a thermocouple. EA-4/02 M,
 * S5; EURAMET cg-8. Every number must be stated; what does not apply is 0.
 */
typedef struct calcore_thermocouple_furnace_sources {
    /**
     * sizeof(calcore_thermocouple_furnace_sources), set by the caller.
     */
    size_t size;
    /**
     * Standard uncertainty of the mean reading of the standards, K.
     */
    double reading_standard_k;
    /**
     * Expanded uncertainty of the voltmeter by certificate, uV.
     */
    double voltmeter_expanded_uv;
    /**
     * Coverage factor of that.
     */
    double voltmeter_coverage_factor;
    /**
     * Limit set by its resolution, plus or minus, uV.
     */
    double resolution_half_width_uv;
    /**
     * Parasitic voltages of the switch, plus or minus, uV.
     */
    double parasitic_half_width_uv;
    /**
     * Sensitivity of the standard at the hot end, K/uV.
     */
    double hot_k_per_uv;
    /**
     * Sensitivity of the standard at the reference junction, K/uV.
     */
    double junction_k_per_uv;
    /**
     * Reference junction, plus or minus, K.
     */
    double junction_half_width_k;
    /**
     * Expanded uncertainty of the standards by certificate, K.
     */
    double standard_expanded_k;
    /**
     * Coverage factor of that.
     */
    double standard_coverage_factor;
    /**
     * Drift of the standards, plus or minus, K.
     */
    double drift_half_width_k;
    /**
     * Differences within the furnace, plus or minus, K.
     */
    double furnace_half_width_k;
} calcore_thermocouple_furnace_sources;

/**
 * Emf of a thermocouple at the nominal temperature: the second step of its comparison. Inhomogeneity is not in it.
 * EA-4/02 M, S5; EURAMET cg-8. Every number must be stated; what does not apply is 0.
 */
typedef struct calcore_thermocouple_emf_sources {
    /**
     * sizeof(calcore_thermocouple_emf_sources), set by the caller.
     */
    size_t size;
    /**
     * Standard uncertainty of the mean reading, uV.
     */
    double reading_standard_uv;
    /**
     * Expanded uncertainty of the voltmeter by certificate, uV.
     */
    double voltmeter_expanded_uv;
    /**
     * Coverage factor of that.
     */
    double voltmeter_coverage_factor;
    /**
     * Limit set by its resolution, plus or minus, uV.
     */
    double resolution_half_width_uv;
    /**
     * Parasitic voltages of the switch, plus or minus, uV.
     */
    double parasitic_half_width_uv;
    /**
     * Extension cables, plus or minus, uV.
     */
    double cable_half_width_uv;
    /**
     * Standard uncertainty of the temperature of the furnace, K.
     */
    double furnace_standard_k;
    /**
     * Sensitivity of the thermocouple at the hot end, uV/K.
     */
    double hot_uv_per_k;
    /**
     * Reference junction, plus or minus, K.
     */
    double junction_half_width_k;
    /**
     * Sensitivity of the thermocouple at the reference junction, uV/K.
     */
    double junction_uv_per_k;
} calcore_thermocouple_emf_sources;

/**
 * Error of a temperature indicator whose sensor is simulated by a source of its signal (ohm, millivolt or
 * milliampere). EURAMET cg-11 (the method; its example budgets were not seen). Every number must be stated; what does
 * not apply is 0.
 */
typedef struct calcore_indicator_by_simulation_sources {
    /**
     * sizeof(calcore_indicator_by_simulation_sources), set by the caller.
     */
    size_t size;
    /**
     * Expanded uncertainty of the source by certificate, signal.
     */
    double source_expanded;
    /**
     * Coverage factor of that.
     */
    double source_coverage_factor;
    /**
     * Drift of the source, plus or minus, signal.
     */
    double source_drift_half_width;
    /**
     * Step of the source, signal.
     */
    double source_resolution;
    /**
     * Leads and contacts, plus or minus, signal.
     */
    double leads_half_width;
    /**
     * Slope of the simulated sensor, signal per kelvin, K.
     */
    double slope_per_k;
    /**
     * Reference junction, plus or minus, K; 0 without one.
     */
    double junction_half_width_k;
    /**
     * Effect of the ambient temperature on source and indicator, plus or minus, K.
     */
    double ambient_half_width_k;
    /**
     * Step of the indicator, K.
     */
    double indicator_resolution_k;
    /**
     * Standard deviation of the repeated readings, K.
     */
    double scatter_k;
    /**
     * Number of readings, at least 2.
     */
    uint32_t readings;
    /**
     * Zero.
     */
    uint32_t reserved;
} calcore_indicator_by_simulation_sources;

/**
 * Error of a transmitter with a current output of 4 to 20 mA; lines in milliampere are multiplied by span/16. Common
 * practice, no source; span/16: IEC 60381-1. Every number must be stated; what does not apply is 0.
 */
typedef struct calcore_transmitter_sources {
    /**
     * sizeof(calcore_transmitter_sources), set by the caller.
     */
    size_t size;
    /**
     * Standard uncertainty of the temperature at its input, K: of a simulated sensor, or of the block and its
     * reference.
     */
    double input_standard_k;
    /**
     * Its degrees of freedom; infinite where exact.
     */
    double input_degrees_of_freedom;
    /**
     * Span of the output, K; its sign does not matter.
     */
    double span_k;
    /**
     * Expanded uncertainty of the current meter by certificate, mA.
     */
    double meter_expanded_ma;
    /**
     * Coverage factor of that.
     */
    double meter_coverage_factor;
    /**
     * Drift of the meter, plus or minus, mA.
     */
    double meter_drift_half_width_ma;
    /**
     * Step of the meter, mA.
     */
    double meter_resolution_ma;
    /**
     * Effect of supply voltage and load, plus or minus, mA.
     */
    double supply_half_width_ma;
    /**
     * Effect of the ambient temperature, plus or minus, K.
     */
    double ambient_half_width_k;
    /**
     * Standard deviation of the repeated readings, mA.
     */
    double scatter_ma;
    /**
     * Number of readings, at least 2.
     */
    uint32_t readings;
    /**
     * Zero.
     */
    uint32_t reserved;
} calcore_transmitter_sources;

/**
 * Error of an instrument whose sensor stands in a block beside a reference probe. The first seven lines are shared by
 * all instruments of a set point. EURAMET cg-13 with an external reference; EA-4/02 M, S10 (form). Every number must
 * be stated; what does not apply is 0.
 */
typedef struct calcore_instrument_in_block_sources {
    /**
     * sizeof(calcore_instrument_in_block_sources), set by the caller.
     */
    size_t size;
    /**
     * Expanded uncertainty of the reference probe by certificate, K.
     */
    double reference_expanded_k;
    /**
     * Coverage factor of that.
     */
    double reference_coverage_factor;
    /**
     * Drift of the reference, plus or minus, K.
     */
    double reference_drift_half_width_k;
    /**
     * Standard uncertainty of its readout, K.
     */
    double readout_standard_k;
    /**
     * Differences along the measuring zone, plus or minus, K.
     */
    double axial_half_width_k;
    /**
     * Differences between bores, plus or minus, K.
     */
    double radial_half_width_k;
    /**
     * Effect of filling the other bores, plus or minus, K.
     */
    double loading_half_width_k;
    /**
     * Half of the largest less the smallest while reading, plus or minus, K.
     */
    double stability_half_width_k;
    /**
     * Step of the instrument, K.
     */
    double resolution_k;
    /**
     * Standard deviation of the repeated errors, K.
     */
    double scatter_k;
    /**
     * Number of readings, at least 2.
     */
    uint32_t readings;
    /**
     * Zero.
     */
    uint32_t reserved;
} calcore_instrument_in_block_sources;

/**
 * A rounded result. JCGM 100:2008, 7.2.6.
 */
typedef struct calcore_reported {
    /**
     * sizeof(calcore_reported), set by the caller.
     */
    size_t size;
    /**
     * The rounded value.
     */
    double value;
    /**
     * The rounded uncertainty.
     */
    double uncertainty;
    /**
     * Power of ten of the last digit: -3 for thousandths.
     */
    int32_t last_digit;
    /**
     * 1 where the last digit is finer than the resolution of what was read.
     */
    int32_t finer_than_resolution;
} calcore_reported;

/**
 * What can happen to an item of a population that is measured and judged. The first four are joint probabilities, of all
 * items, and add up to 1.
 */
typedef struct calcore_risk_result {
    /**
     * sizeof(calcore_risk_result), set by the caller.
     */
    size_t size;
    /**
     * Conforms and is accepted.
     */
    double true_accept;
    /**
     * Does not conform and is accepted: the global consumer's risk, joint convention.
     */
    double false_accept;
    /**
     * Conforms and is rejected: the global producer's risk, joint convention.
     */
    double false_reject;
    /**
     * Does not conform and is rejected.
     */
    double true_reject;
    /**
     * Probability that an accepted item does not conform: conditional convention. NaN where nothing is accepted.
     */
    double false_accept_given_accepted;
    /**
     * Probability that a rejected item conforms: conditional convention. NaN where nothing is rejected.
     */
    double false_reject_given_rejected;
    /**
     * Fraction of items accepted; without a guard band the observed in-tolerance probability.
     */
    double accepted;
    /**
     * Fraction of items that conform: the true in-tolerance probability.
     */
    double in_tolerance;
    /**
     * Lower limit within which a measured value is accepted; -INFINITY where there is none.
     */
    double acceptance_lower;
    /**
     * Upper limit within which a measured value is accepted; INFINITY where there is none.
     */
    double acceptance_upper;
} calcore_risk_result;

/**
 * A decision rule. ILAC-G8:09/2019, 4.2; JCGM 106:2012, clause 8; ISO 14253-1:2017, clause 5.
 */
typedef struct calcore_decision_rule {
    /**
     * sizeof(calcore_decision_rule), set by the caller.
     */
    size_t size;
    /**
     * One of the CALCORE_RULE_ numbers.
     */
    int32_t rule;
    /**
     * One of the CALCORE_GUARD_BAND_ numbers; not looked at for simple acceptance.
     */
    int32_t guard_band_kind;
    /**
     * Multiple of the expanded uncertainty (1 is ILAC-G8), width, or risk, as `guard_band_kind` says. Negative ones relax
     * the limits, which only guarded acceptance allows.
     */
    double guard_band;
    /**
     * Coverage factor of the expanded uncertainty, for CALCORE_GUARD_BAND_EXPANDED.
     */
    double coverage_factor;
} calcore_decision_rule;

/**
 * A verdict with what it rests on.
 */
typedef struct calcore_decision {
    /**
     * sizeof(calcore_decision), set by the caller.
     */
    size_t size;
    /**
     * One of the numbers from CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Probability that the true value lies within the tolerance.
     */
    double probability_of_conformity;
    /**
     * Its complement, computed by itself so that small risks keep their digits.
     */
    double probability_of_nonconformity;
    /**
     * Width of the guard band, in the unit of the value; 0 for simple acceptance.
     */
    double guard_band;
    /**
     * Lower limit within which the rule does not reject; -INFINITY where there is none.
     */
    double acceptance_lower;
    /**
     * Upper limit within which the rule does not reject; INFINITY where there is none.
     */
    double acceptance_upper;
} calcore_decision;

/**
 * The state at the end of a record. Values in the unit of the record.
 */
typedef struct calcore_steadiness {
    /**
     * sizeof(calcore_steadiness), set by the caller.
     */
    size_t size;
    /**
     * CALCORE_STEADY, or why the last window does not meet the criterion.
     */
    int32_t state;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Since when every window has met the criterion, s; NaN where the last one does not.
     */
    double since_s;
    /**
     * Largest minus smallest value in the last window.
     */
    double span;
    /**
     * Slope of the least-squares line through the last window, per minute.
     */
    double slope_per_min;
    /**
     * Residual standard deviation about that line; 0 with fewer than three readings.
     */
    double residual_standard_deviation;
    /**
     * Standard uncertainty for the lack of stability: half the span, rectangular.
     */
    double standard_uncertainty;
    /**
     * Readings in the last window.
     */
    size_t readings;
} calcore_steadiness;

/**
 * When readings count as settled. Begin with calcore_settled_criterion_init, which sets all fields.
 */
typedef struct calcore_settled_criterion {
    /**
     * sizeof(calcore_settled_criterion), set by the caller.
     */
    size_t size;
    /**
     * Length of the window that is judged, s.
     */
    double window_s;
    /**
     * Largest slope, per minute; the slope and its uncertainty at the stated confidence must lie below it.
     */
    double max_slope_per_min;
    /**
     * Largest standard deviation about the line.
     */
    double max_scatter;
    /**
     * How long the criterion must have been met, s.
     */
    double dwell_s;
    /**
     * Two-sided probability with which the slope is within its limit, between 0 and 1.
     */
    double confidence;
    /**
     * From how many robust standard deviations a reading is a spike; infinite for never.
     */
    double spike_limit;
    /**
     * Resolution of the readings; a reading no further away is no spike.
     */
    double resolution;
} calcore_settled_criterion;

/**
 * The state after a reading. Values in the unit of the record.
 */
typedef struct calcore_settled_state {
    /**
     * sizeof(calcore_settled_state), set by the caller.
     */
    size_t size;
    /**
     * CALCORE_STEADY if the window meets the criterion and has done so for the dwell, else one of the CALCORE_UNSTEADY_
     * numbers.
     */
    int32_t state;
    /**
     * 1 if the slope differs from zero at the stated confidence, else 0.
     */
    int32_t slope_significant;
    /**
     * Since when every window has met the criterion, s; NaN where the last one does not.
     */
    double since_s;
    /**
     * Amount of the slope plus coverage factor times its uncertainty, per minute; infinite below three readings.
     */
    double slope_bound_per_min;
    /**
     * Slope of the line through the window, spikes left out, per minute; this and the following NaN below three readings.
     */
    double slope_per_min;
    /**
     * Its standard uncertainty, per minute; neighbouring readings may be correlated.
     */
    double u_slope_per_min;
    /**
     * Mean of the window.
     */
    double mean;
    /**
     * Its standard uncertainty, from the scatter.
     */
    double u_mean;
    /**
     * Standard deviation about the line.
     */
    double residual_standard_deviation;
    /**
     * Readings left out as spikes.
     */
    size_t spikes;
    /**
     * Largest minus smallest value in the window, spikes included.
     */
    double span;
    /**
     * Standard uncertainty for the lack of stability: half the span, rectangular.
     */
    double standard_uncertainty;
    /**
     * Readings in the window, spikes included.
     */
    size_t readings;
} calcore_settled_state;

/**
 * How long still to wait.
 */
typedef struct calcore_wait {
    /**
     * sizeof(calcore_wait), set by the caller.
     */
    size_t size;
    /**
     * Estimate, s.
     */
    double seconds;
    /**
     * Its standard uncertainty, s.
     */
    double standard_uncertainty_s;
    /**
     * Time constant of the approach, s.
     */
    double time_constant_s;
    /**
     * Its standard uncertainty, s.
     */
    double u_time_constant_s;
    /**
     * Value that is approached.
     */
    double final_value;
} calcore_wait;

/**
 * A straight line through a record. Values in the unit of the record.
 */
typedef struct calcore_trend {
    /**
     * sizeof(calcore_trend), set by the caller.
     */
    size_t size;
    /**
     * Slope, per minute.
     */
    double slope_per_min;
    /**
     * Its standard uncertainty, per minute.
     */
    double u_slope_per_min;
    /**
     * Mean, spikes left out.
     */
    double mean;
    /**
     * Its standard uncertainty.
     */
    double u_mean;
    /**
     * Moment to which the mean belongs, s.
     */
    double mean_time_s;
    /**
     * Standard deviation about the line.
     */
    double residual_standard_deviation;
    /**
     * Correlation of neighbouring residuals.
     */
    double autocorrelation;
    /**
     * Independent readings that they are worth.
     */
    double effective_readings;
    /**
     * Degrees of freedom of the scatter.
     */
    double degrees_of_freedom;
    /**
     * Readings, spikes included.
     */
    size_t readings;
    /**
     * Readings left out as spikes.
     */
    size_t spikes;
} calcore_trend;

/**
 * A reference moved to a moment.
 */
typedef struct calcore_reference_at_moment {
    /**
     * sizeof(calcore_reference_at_moment), set by the caller.
     */
    size_t size;
    /**
     * The value.
     */
    double value;
    /**
     * Its standard uncertainty from the scatter of the readings and the way between them; the certificate of the reference
     * is not in it.
     */
    double standard_uncertainty;
    /**
     * 1 if the moment lies outside the record, else 0.
     */
    int32_t extrapolated;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_reference_at_moment;

/**
 * The error of a loop, split over its links, in short.
 */
typedef struct calcore_attribution {
    /**
     * sizeof(calcore_attribution), set by the caller.
     */
    size_t size;
    /**
     * Links that were read, from the element on.
     */
    size_t links;
    /**
     * Set points at which the last link was read.
     */
    size_t set_points;
    /**
     * 1 if the largest share exceeds its expanded uncertainty at a set point at least, else 0.
     */
    int32_t significant;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_attribution;

/**
 * The split at one set point, in short.
 */
typedef struct calcore_attribution_point {
    /**
     * sizeof(calcore_attribution_point), set by the caller.
     */
    size_t size;
    /**
     * Which set point of the run, counted from 0.
     */
    size_t set_point;
    /**
     * Shares.
     */
    size_t shares;
    /**
     * Error of the loop, K: that of its last link, and the sum of the shares.
     */
    double error_k;
} calcore_attribution_point;

/**
 * What one link adds to the error of a loop.
 */
typedef struct calcore_share {
    /**
     * sizeof(calcore_share), set by the caller.
     */
    size_t size;
    /**
     * How many links before it were not read and have their error in this share.
     */
    size_t unread;
    /**
     * What it adds, K: its own error less that of the link before.
     */
    double error_k;
    /**
     * Standard uncertainty of that difference, K.
     */
    double standard_uncertainty_k;
    /**
     * Expanded uncertainty of that difference, K.
     */
    double expanded_uncertainty_k;
    /**
     * Share of the error of the loop, percent; NaN where that error is zero.
     */
    double percent;
} calcore_share;

/**
 * New coefficients for an element.
 */
typedef struct calcore_element_fit {
    /**
     * sizeof(calcore_element_fit), set by the caller.
     */
    size_t size;
    /**
     * R0, ohm.
     */
    double r0;
    /**
     * A, 1/K.
     */
    double a;
    /**
     * B, 1/K^2.
     */
    double b;
    /**
     * C, 1/K^4.
     */
    double c;
    /**
     * Covariance of R0, A, B, C, row by row; zero rows where a coefficient was held, NaN where it could not be had.
     */
    double covariance[16];
    /**
     * Lower end of the range in which the new curve holds, °C.
     */
    double low_c;
    /**
     * Upper end of that range, °C.
     */
    double high_c;
    /**
     * Chi-squared; NaN where no uncertainties were stated.
     */
    double chi_squared;
    /**
     * Probability of a larger chi-squared, if the model is right; NaN where there is none.
     */
    double p_value;
    /**
     * Degrees of freedom.
     */
    size_t degrees_of_freedom;
    /**
     * Points of the fit: the numbers of residuals.
     */
    size_t points;
    /**
     * Sum of the CALCORE_HELD_ numbers of the coefficients that were held.
     */
    int32_t held;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_element_fit;

/**
 * How much a result holds.
 */
typedef struct calcore_result_counts {
    /**
     * sizeof(calcore_result_counts), set by the caller.
     */
    size_t size;
    /**
     * Set points.
     */
    size_t set_points;
    /**
     * Instruments that were read.
     */
    size_t instruments;
    /**
     * Attributions: chains of links that were read to their end.
     */
    size_t attributions;
    /**
     * Fits of elements.
     */
    size_t element_fits;
    /**
     * Warnings.
     */
    size_t warnings;
    /**
     * Cautions.
     */
    size_t cautions;
    /**
     * Documents.
     */
    size_t documents;
    /**
     * Rows of the covariance matrix of all errors: the points of all instruments.
     */
    size_t errors;
} calcore_result_counts;

/**
 * The reference at a set point.
 */
typedef struct calcore_set_point {
    /**
     * sizeof(calcore_set_point), set by the caller.
     */
    size_t size;
    /**
     * What the heat source was set to, °C.
     */
    double nominal_c;
    /**
     * Mean temperature by the reference thermometer, °C.
     */
    double reference_c;
    /**
     * Standard uncertainty of it, K: reference and heat source.
     */
    double standard_uncertainty_k;
    /**
     * 1 if the run says when the reference counts as steady (see calcore_result_steadiness), else 0.
     */
    int32_t judged;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_set_point;

/**
 * All points of one instrument, in short.
 */
typedef struct calcore_instrument {
    /**
     * sizeof(calcore_instrument), set by the caller.
     */
    size_t size;
    /**
     * What it is: CALCORE_ELEMENT to CALCORE_CUSTOM_LINK.
     */
    int32_t kind;
    /**
     * Unit of its readings: one of the CALCORE_UNIT_ numbers.
     */
    int32_t unit;
    /**
     * Its worst verdict: CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Points: set points at which it was read.
     */
    size_t points;
    /**
     * Which of its points uses the largest part of its tolerance.
     */
    size_t worst_point;
} calcore_instrument;

/**
 * One instrument at one set point. Its budget: calcore_result_budget and calcore_result_contribution.
 */
typedef struct calcore_point {
    /**
     * sizeof(calcore_point), set by the caller.
     */
    size_t size;
    /**
     * Which set point of the run, counted from 0.
     */
    size_t set_point;
    /**
     * Lines in its budget.
     */
    size_t contributions;
    /**
     * CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * What the heat source was set to, °C.
     */
    double nominal_c;
    /**
     * Temperature by the reference at the moments of the readings, mean, °C.
     */
    double reference_c;
    /**
     * Mean reading, in the unit of the instrument.
     */
    double reading;
    /**
     * Temperature that the readings stand for, mean, °C.
     */
    double indicated_c;
    /**
     * Error: indicated minus reference, in the unit of the instrument.
     */
    double error;
    /**
     * The same in kelvin.
     */
    double error_k;
    /**
     * The same in percent of the span.
     */
    double error_percent_of_span;
    /**
     * Standard uncertainty of the error, K.
     */
    double standard_uncertainty_k;
    /**
     * Expanded uncertainty of the error, K.
     */
    double expanded_uncertainty_k;
    /**
     * Expanded uncertainty of the error, in the unit of the instrument.
     */
    double expanded_uncertainty;
    /**
     * Coverage factor.
     */
    double coverage_factor;
    /**
     * Most negative error allowed, K.
     */
    double tolerance_lower_k;
    /**
     * Most positive error allowed, K.
     */
    double tolerance_upper_k;
    /**
     * Guard band of the decision, K.
     */
    double guard_band_k;
    /**
     * Probability that the error lies within the tolerance.
     */
    double probability_of_conformity;
} calcore_point;

/**
 * Figures of one instrument over all its points. What its points do not tell is NaN.
 */
typedef struct calcore_figures {
    /**
     * sizeof(calcore_figures), set by the caller.
     */
    size_t size;
    /**
     * Largest difference of the mean errors going up and going down at one set point, K.
     */
    double hysteresis_k;
    /**
     * The same in percent of the span.
     */
    double hysteresis_percent_of_span;
    /**
     * The set point at which it is largest, °C.
     */
    double hysteresis_at_c;
    /**
     * Standard deviation of errors at one set point reached from the same side, pooled over set points, K.
     */
    double repeatability_k;
    /**
     * Its degrees of freedom.
     */
    size_t repeatability_degrees_of_freedom;
    /**
     * Standard deviation of single readings within a visit, pooled over visits, K.
     */
    double scatter_k;
    /**
     * Its degrees of freedom.
     */
    double scatter_degrees_of_freedom;
    /**
     * Most positive error, K.
     */
    double largest_error_k;
    /**
     * Most negative error, K.
     */
    double smallest_error_k;
    /**
     * Largest departure of the mean errors from the line through both end points, K.
     */
    double terminal_based_linearity_k;
    /**
     * The same from the line through the lower end point that makes it smallest, K.
     */
    double zero_based_linearity_k;
    /**
     * The same from the line that makes it smallest, K.
     */
    double independent_linearity_k;
    /**
     * Set points with a mean error: see calcore_result_mean_errors.
     */
    size_t mean_errors;
} calcore_figures;

/**
 * The error of a loop at one set point without the error of one link.
 */
typedef struct calcore_corrected_point {
    /**
     * Which set point of the run, counted from 0.
     */
    size_t set_point;
    /**
     * What the loop would indicate, °C.
     */
    double indicated_c;
    /**
     * Error that would remain, K.
     */
    double error_k;
    /**
     * Its standard uncertainty, K.
     */
    double standard_uncertainty_k;
    /**
     * Its expanded uncertainty, K.
     */
    double expanded_uncertainty_k;
    /**
     * Probability that it lies within the tolerance.
     */
    double probability_of_conformity;
    /**
     * CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_corrected_point;

/**
 * Three ways to put the shares of a loop together.
 */
typedef struct calcore_combinations {
    /**
     * sizeof(calcore_combinations), set by the caller.
     */
    size_t size;
    /**
     * Sum with signs, K: the error of the loop.
     */
    double algebraic_k;
    /**
     * Sum of the amounts, K.
     */
    double worst_case_k;
    /**
     * Root of the sum of squares, K.
     */
    double root_sum_of_squares_k;
} calcore_combinations;

/**
 * Two references compared at a set point.
 */
typedef struct calcore_reference_comparison {
    /**
     * sizeof(calcore_reference_comparison), set by the caller.
     */
    size_t size;
    /**
     * Which set point of the run, counted from 0.
     */
    size_t set_point;
    /**
     * Further reference minus first one, K.
     */
    double difference_k;
    /**
     * Expanded uncertainty of the difference, K.
     */
    double expanded_uncertainty_k;
    /**
     * Difference over its expanded uncertainty.
     */
    double e_n;
    /**
     * 1 if they agree within it, else 0.
     */
    int32_t agree;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_reference_comparison;

/**
 * One proposal.
 */
typedef struct calcore_proposal {
    /**
     * sizeof(calcore_proposal), set by the caller.
     */
    size_t size;
    /**
     * One of the CALCORE_ADJUST_ numbers.
     */
    int32_t kind;
    /**
     * 1 if everything passes afterwards that the adjustment touches, else 0.
     */
    int32_t within_tolerance;
    /**
     * The numbers of the adjustment, as the kind says; NaN for those that it does not have.
     */
    double values[4];
    /**
     * Largest part of a tolerance that is used afterwards.
     */
    double largest_used;
    /**
     * Errors that remain: see calcore_proposals_remaining.
     */
    size_t remaining;
    /**
     * Cautions.
     */
    size_t cautions;
    /**
     * 1 if it adjusts the link that causes the error of the loop, else 0.
     */
    int32_t adjusts_the_cause;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_proposal;

/**
 * An error that remains after an adjustment.
 */
typedef struct calcore_remaining_error {
    /**
     * sizeof(calcore_remaining_error), set by the caller.
     */
    size_t size;
    /**
     * Which set point of the run, counted from 0.
     */
    size_t set_point;
    /**
     * The error, K.
     */
    double error_k;
    /**
     * Its expanded uncertainty, K.
     */
    double expanded_uncertainty_k;
    /**
     * CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_remaining_error;

/**
 * A plan in short.
 */
typedef struct calcore_plan_numbers {
    /**
     * sizeof(calcore_plan_numbers), set by the caller.
     */
    size_t size;
    /**
     * Heat sources that are used.
     */
    size_t sources;
    /**
     * Set points, over all sources.
     */
    size_t set_points;
    /**
     * Time of the whole, s, the sources one after the other.
     */
    double time_s;
    /**
     * Time of calibrating the instruments one by one, s.
     */
    double time_one_by_one_s;
    /**
     * 1 if no plan with fewer set points exists, else 0.
     */
    int32_t optimal;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_plan_numbers;

/**
 * What one heat source does.
 */
typedef struct calcore_source_plan {
    /**
     * sizeof(calcore_source_plan), set by the caller.
     */
    size_t size;
    /**
     * Instruments in it.
     */
    size_t instruments;
    /**
     * Set points.
     */
    size_t set_points;
    /**
     * Visits, in their order: more than set points where they go up and down.
     */
    size_t visits;
    /**
     * Its time, s.
     */
    double time_s;
} calcore_source_plan;

/**
 * One instrument at one set point of one of many runs. Elements of arrays: this struct never grows.
 */
typedef struct calcore_point_row {
    /**
     * Which of the runs, counted from 0.
     */
    size_t run;
    /**
     * Which instrument of that run, counted from 0 in the order of its description.
     */
    size_t instrument;
    /**
     * Which set point of that run, counted from 0.
     */
    size_t set_point;
    /**
     * CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t verdict;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Temperature by the reference at the moments of the readings, mean, °C.
     */
    double reference_c;
    /**
     * Temperature that the readings stand for, mean, °C.
     */
    double indicated_c;
    /**
     * Error, K.
     */
    double error_k;
    /**
     * Standard uncertainty of the error, K.
     */
    double standard_uncertainty_k;
    /**
     * Expanded uncertainty of the error, K.
     */
    double expanded_uncertainty_k;
    /**
     * Coverage factor.
     */
    double coverage_factor;
    /**
     * Most negative error allowed, K.
     */
    double tolerance_lower_k;
    /**
     * Most positive error allowed, K.
     */
    double tolerance_upper_k;
    /**
     * Probability that the error lies within the tolerance.
     */
    double probability_of_conformity;
} calcore_point_row;

/**
 * What was done to a link between the two runs. All texts are UTF-8, ended by a zero byte, none may be null.
 */
typedef struct calcore_adjustment_event {
    /**
     * sizeof(calcore_adjustment_event), set by the caller.
     */
    size_t size;
    /**
     * Tag of the link.
     */
    const char *tag;
    /**
     * What was changed, such as "sensor trim" or "R0".
     */
    const char *parameter;
    /**
     * Value before.
     */
    const char *old_value;
    /**
     * Value after.
     */
    const char *new_value;
    /**
     * Why.
     */
    const char *reason;
    /**
     * Who.
     */
    const char *by;
    /**
     * When, as the user writes it.
     */
    const char *when;
} calcore_adjustment_event;

/**
 * What came out of the check of a record.
 */
typedef struct calcore_record_outcome {
    /**
     * sizeof(calcore_record_outcome), set by the caller.
     */
    size_t size;
    /**
     * Numbers that come out differently today: see calcore_record_check_difference.
     */
    size_t differences;
    /**
     * 1 if the content has the hash that it states, else 0: somebody changed it.
     */
    int32_t unchanged;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * The hash as computed now, 64 hexadecimal digits and a zero byte.
     */
    char content_hash[72];
    /**
     * Version of the core that wrote the record.
     */
    char core_version[32];
} calcore_record_outcome;

/**
 * One change.
 */
typedef struct calcore_change {
    /**
     * sizeof(calcore_change), set by the caller.
     */
    size_t size;
    /**
     * What the heat source was set to, °C.
     */
    double nominal_c;
    /**
     * Error in the first run, K.
     */
    double before_k;
    /**
     * Error in the second run, K.
     */
    double after_k;
    /**
     * Second minus first, K.
     */
    double change_k;
    /**
     * Standard uncertainty of the change, K; what the same reference contributes to both cancels.
     */
    double standard_uncertainty_k;
    /**
     * Expanded uncertainty (k = 2) of the change, K.
     */
    double expanded_uncertainty_k;
    /**
     * Change over its expanded uncertainty. ISO 13528:2022, 9.7.
     */
    double e_n;
    /**
     * 1 if the change exceeds its expanded uncertainty, else 0.
     */
    int32_t significant;
    /**
     * One of the CALCORE_DIRECTION_ numbers.
     */
    int32_t direction;
} calcore_change;

/**
 * A drift in numbers.
 */
typedef struct calcore_history_drift {
    /**
     * sizeof(calcore_history_drift), set by the caller.
     */
    size_t size;
    /**
     * Drift, K a year.
     */
    double slope_k_per_a;
    /**
     * Its standard uncertainty, K a year: the larger of what the scatter and what the stated uncertainties say of the
     * unweighted line.
     */
    double u_slope_k_per_a;
    /**
     * Error at the first calibration by the line, K.
     */
    double first_k;
    /**
     * Standard deviation about the line, K.
     */
    double residual_standard_deviation_k;
    /**
     * Probability of a slope at least as large without drift.
     */
    double p_value;
    /**
     * Degrees of freedom.
     */
    size_t degrees_of_freedom;
    /**
     * Calibrations.
     */
    size_t points;
} calcore_history_drift;

/**
 * A rule that makes intervals longer or shorter by what was found (ILAC-G24:2022 / OIML D 10:2022, method 1).
 */
typedef struct calcore_staircase_rule {
    /**
     * sizeof(calcore_staircase_rule), set by the caller.
     */
    size_t size;
    /**
     * Longer up to this part of the tolerance, above 0 and at most 1.
     */
    double extend_below;
    /**
     * Factor of a longer interval, at least 1.
     */
    double extend_by;
    /**
     * Factor of a shorter interval, above 0 and at most 1.
     */
    double shorten_by;
    /**
     * Shortest interval.
     */
    double shortest;
    /**
     * Longest interval.
     */
    double longest;
} calcore_staircase_rule;

/**
 * An interval by the share that was found in tolerance.
 */
typedef struct calcore_reliability_interval {
    /**
     * sizeof(calcore_reliability_interval), set by the caller.
     */
    size_t size;
    /**
     * The interval, in the unit of the one that was observed; infinite where every one was in tolerance.
     */
    double interval;
    /**
     * Share in tolerance.
     */
    double observed;
    /**
     * Interval by the lower end of the share's interval.
     */
    double shortest;
    /**
     * Interval by its upper end; infinite where nothing speaks against 1.
     */
    double longest;
} calcore_reliability_interval;

/**
 * One result that rests on it.
 */
typedef struct calcore_impact {
    /**
     * sizeof(calcore_impact), set by the caller.
     */
    size_t size;
    /**
     * Which result, counted from 0.
     */
    size_t run;
    /**
     * Which set point of its run, counted from 0.
     */
    size_t set_point;
    /**
     * Error as it was reported, K.
     */
    double reported_k;
    /**
     * Error if the reference drifted evenly, K.
     */
    double likely_k;
    /**
     * Error if the reference was off from the beginning, K.
     */
    double worst_k;
    /**
     * Verdict as it was reported: CALCORE_PASS to CALCORE_NO_FAIL.
     */
    int32_t reported;
    /**
     * Verdict if the reference drifted evenly.
     */
    int32_t likely;
    /**
     * Verdict if it was off from the beginning.
     */
    int32_t worst;
    /**
     * 1 if one of these is another than was reported, else 0.
     */
    int32_t changes_verdict;
} calcore_impact;

/**
 * How far readings depart from a line, in their unit.
 */
typedef struct calcore_linearity_result {
    /**
     * sizeof(calcore_linearity_result), set by the caller.
     */
    size_t size;
    /**
     * Index of the point with the largest deviation, the first of several.
     */
    size_t at;
    /**
     * The line at x = 0.
     */
    double intercept;
    /**
     * Its slope.
     */
    double slope;
    /**
     * Largest absolute deviation: the linearity or conformity.
     */
    double largest;
    /**
     * Most positive deviation.
     */
    double most_positive;
    /**
     * Most negative deviation.
     */
    double most_negative;
    /**
     * Standard uncertainty of the largest deviation; NaN where none is stated for the readings.
     */
    double standard_uncertainty;
    /**
     * Largest deviation in percent of the span; NaN without a span.
     */
    double percent_of_span;
    /**
     * Its standard uncertainty in percent of the span; NaN without both.
     */
    double standard_uncertainty_percent_of_span;
} calcore_linearity_result;

/**
 * Readings of a link over cycles, each up through all points and, as a rule, down through them. Zero it, set `size`. Arrays stay
 * the caller's.
 *
 * Every series lists its readings in the order of the points, whichever way they were taken.
 */
typedef struct calcore_cycles {
    /**
     * sizeof(calcore_cycles), set by the caller.
     */
    size_t size;
    /**
     * Number of points.
     */
    size_t points;
    /**
     * Number of cycles.
     */
    size_t cycles;
    /**
     * The points, in the unit of the input.
     */
    const double *x;
    /**
     * What the link should have read at each point, in the unit of the readings; null where the readings are errors.
     */
    const double *expected;
    /**
     * Readings going up: cycles times points, one cycle after the other.
     */
    const double *up;
    /**
     * Readings going down, alike; null where none were taken.
     */
    const double *down;
    /**
     * Span of the readings, in their unit.
     */
    double span;
    /**
     * Dead band that is known apart, in the unit of the readings: it is taken off the hysteresis.
     */
    double dead_band;
    /**
     * Standard uncertainty of each reading, in the order up, down of the first cycle, up, down of the second and so on; or null.
     */
    const double *u;
    /**
     * Covariance of all readings in that order, row by row, instead of `u`; or null.
     */
    const double *covariance;
} calcore_cycles;

/**
 * Error curves over cycles: room for as many numbers as points each, or null.
 */
typedef struct calcore_cycle_curves {
    /**
     * sizeof(calcore_cycle_curves), set by the caller.
     */
    size_t size;
    /**
     * Mean error at every point going up.
     */
    double *up;
    /**
     * Mean error at every point going down; refused without such readings.
     */
    double *down;
    /**
     * Mean of the two.
     */
    double *average;
    /**
     * Standard uncertainty of that mean; refused where none is stated for the readings.
     */
    double *average_standard_uncertainty;
} calcore_cycle_curves;

/**
 * A figure with its place and standard uncertainty. All numbers are NaN where the readings do not tell it.
 */
typedef struct calcore_cycle_figure {
    /**
     * In the unit of the readings.
     */
    double value;
    /**
     * In percent of the span.
     */
    double percent_of_span;
    /**
     * In the unit of the readings; NaN where none is stated for these.
     */
    double standard_uncertainty;
    /**
     * Index of the point at which it is taken.
     */
    size_t at;
} calcore_cycle_figure;

/**
 * What the readings of a link over cycles tell, errors being reading minus expected.
 */
typedef struct calcore_cycle_figures {
    /**
     * sizeof(calcore_cycle_figures), set by the caller.
     */
    size_t size;
    /**
     * Largest difference of the mean errors going up and going down, dead band included.
     */
    struct calcore_cycle_figure hysteretic_error;
    /**
     * The same less the dead band, not below zero.
     */
    struct calcore_cycle_figure hysteresis;
    /**
     * Most positive error of all readings: upper limit of the total error band.
     */
    struct calcore_cycle_figure most_positive_error;
    /**
     * Most negative error of all readings: lower limit of the total error band.
     */
    struct calcore_cycle_figure most_negative_error;
    /**
     * Independent linearity of the average error curve, from three points on.
     */
    struct calcore_cycle_figure independent_linearity;
    /**
     * Zero-based linearity of it.
     */
    struct calcore_cycle_figure zero_based_linearity;
    /**
     * Terminal-based linearity of it.
     */
    struct calcore_cycle_figure terminal_based_linearity;
    /**
     * Largest difference of two readings at one point from the same side: repeatability by ISA-51.1; from two cycles on.
     */
    struct calcore_cycle_figure largest_range;
    /**
     * Pooled standard deviation of readings at one point from the same side; NaN with one cycle.
     */
    double repeatability;
    /**
     * The same in percent of the span.
     */
    double repeatability_percent_of_span;
    /**
     * Standard uncertainty of the standard deviation, from its degrees of freedom.
     */
    double repeatability_standard_uncertainty;
    /**
     * Cycles less one for each point and side; 0 with one cycle.
     */
    size_t repeatability_degrees_of_freedom;
} calcore_cycle_figures;

/**
 * How an element is read. Zero it, set `size`: then with its own curve and no error; choose what differs.
 */
typedef struct calcore_choice {
    /**
     * sizeof(calcore_choice), set by the caller.
     */
    size_t size;
    /**
     * Curve that the instrument has; null for the element's own. It stays the caller's.
     */
    const struct calcore_curve *read_with;
    /**
     * 1 when the instrument takes the signal for linear in temperature, in place of a curve; else 0.
     */
    int32_t linear;
    /**
     * The straight line: CALCORE_LINEARITY_INDEPENDENT, CALCORE_LINEARITY_TERMINAL or CALCORE_LINEARITY_ZERO.
     */
    int32_t basis;
    /**
     * Lower end of the range of the straight line, °C.
     */
    double linear_low_c;
    /**
     * Upper end of it, °C.
     */
    double linear_high_c;
    /**
     * What the wiring adds to the signal, in its unit: both leads of a two-wire connection, ohm.
     */
    double added_signal;
    /**
     * Step of the converter, in the unit of the signal; 0 for none.
     */
    double resolution;
} calcore_choice;

/**
 * The largest error of a choice over a range, proven.
 */
typedef struct calcore_largest_error {
    /**
     * sizeof(calcore_largest_error), set by the caller.
     */
    size_t size;
    /**
     * No absolute error in the range is larger, K.
     */
    double largest_k;
    /**
     * An absolute error that is reached, K: at most 0.1 % (or 1e-9 K) below the bound.
     */
    double reached_k;
    /**
     * Where it is reached, °C.
     */
    double at_c;
    /**
     * No error is more positive, K.
     */
    double most_positive_k;
    /**
     * Where the most positive error is reached, °C.
     */
    double most_positive_at_c;
    /**
     * No error is more negative, K.
     */
    double most_negative_k;
    /**
     * Where the most negative error is reached, °C.
     */
    double most_negative_at_c;
} calcore_largest_error;

/**
 * A fixed-point number: an integer that counts parts of 2^-fraction_bits. All zero where numbers are not fixed-point.
 */
typedef struct calcore_number_format {
    /**
     * Width of the integer, 2 to 32 bits.
     */
    uint32_t bits;
    /**
     * Bits behind the point, -16 to 48.
     */
    int32_t fraction_bits;
    /**
     * 1 when one of the bits is the sign (two's complement), else 0.
     */
    int32_t is_signed;
} calcore_number_format;

/**
 * What table is asked for. Zero it, set `size` and either `segments` or `largest_error`: all else is then the best table of
 * straight segments in doubles, from the signal to the temperature.
 */
typedef struct calcore_lookup_table_options {
    /**
     * sizeof(calcore_lookup_table_options), set by the caller.
     */
    size_t size;
    /**
     * That many segments, 1 to 4096; 0 for as few as keep `largest_error`.
     */
    size_t segments;
    /**
     * The proven error that is allowed: K towards the temperature, the unit of the signal towards the signal; 0 with `segments`.
     */
    double largest_error;
    /**
     * Most segments that `largest_error` may use; 0 for 256.
     */
    size_t most_segments;
    /**
     * CALCORE_SIGNAL_TO_TEMPERATURE or CALCORE_TEMPERATURE_TO_SIGNAL.
     */
    int32_t direction;
    /**
     * One of the CALCORE_SEGMENT_ numbers.
     */
    int32_t shape;
    /**
     * CALCORE_NODES_OPTIMAL or CALCORE_NODES_EQUAL.
     */
    int32_t spacing;
    /**
     * One of the CALCORE_NUMBERS_ numbers.
     */
    int32_t numbers;
    /**
     * For fixed-point numbers: format of the argument, also that of the reading that is looked up.
     */
    struct calcore_number_format argument;
    /**
     * For fixed-point numbers: format of the value, also that of the result.
     */
    struct calcore_number_format value;
} calcore_lookup_table_options;

/**
 * What is known of a table.
 */
typedef struct calcore_lookup_table_facts {
    /**
     * sizeof(calcore_lookup_table_facts), set by the caller.
     */
    size_t size;
    /**
     * Number of segments; there is one node more.
     */
    size_t segments;
    /**
     * Lower end of the range, °C.
     */
    double low_c;
    /**
     * Upper end of the range, °C.
     */
    double high_c;
    /**
     * Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point numbers over
     * every reading that the firmware can get.
     */
    double largest_error;
    /**
     * What rounding in the firmware adds to the error at most; 0 where every reading was tried, which shows what it does add.
     */
    double rounding;
    /**
     * CALCORE_PROOF_CURVATURE or CALCORE_PROOF_EVERY_READING.
     */
    int32_t proof;
    /**
     * 1 when segments have bend and skew, else 0.
     */
    int32_t has_bends;
    /**
     * 1 when the table has integers, else 0.
     */
    int32_t has_codes;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Unit of the errors: "K", or that of the signal.
     */
    char error_unit[16];
} calcore_lookup_table_facts;

/**
 * What approximation is asked for. Zero it, set `size` and either `degree` or `largest_error`: all else is then a polynomial in
 * doubles, from the signal to the temperature.
 */
typedef struct calcore_minimax_options {
    /**
     * sizeof(calcore_minimax_options), set by the caller.
     */
    size_t size;
    /**
     * Degree of the polynomial, or of the numerator, up to 15; not used with `largest_error`.
     */
    size_t degree;
    /**
     * Degree of the denominator, up to 15; 0 makes a polynomial.
     */
    size_t denominator_degree;
    /**
     * The proven error that the polynomial of the lowest degree shall keep: K towards the temperature, the unit of the signal
     * towards the signal; 0 to take `degree`.
     */
    double largest_error;
    /**
     * CALCORE_SIGNAL_TO_TEMPERATURE or CALCORE_TEMPERATURE_TO_SIGNAL.
     */
    int32_t direction;
    /**
     * One of the CALCORE_NUMBERS_ numbers.
     */
    int32_t numbers;
    /**
     * For fixed-point numbers: format of the reading.
     */
    struct calcore_number_format argument;
    /**
     * For fixed-point numbers: format of the result.
     */
    struct calcore_number_format value;
    /**
     * For fixed-point numbers: format of the coefficients.
     */
    struct calcore_number_format coefficient;
    /**
     * Zero.
     */
    int32_t reserved;
} calcore_minimax_options;

/**
 * What is known of an approximation.
 */
typedef struct calcore_minimax_facts {
    /**
     * sizeof(calcore_minimax_facts), set by the caller.
     */
    size_t size;
    /**
     * Coefficients of the numerator.
     */
    size_t numerator;
    /**
     * Coefficients of the denominator; 0 for a polynomial.
     */
    size_t denominator;
    /**
     * Extremes of the error.
     */
    size_t extremes;
    /**
     * Lower end of the range, °C.
     */
    double low_c;
    /**
     * Upper end of the range, °C.
     */
    double high_c;
    /**
     * Lowest argument.
     */
    double low;
    /**
     * Highest argument.
     */
    double high;
    /**
     * Argument of z = 0, exactly as stored: z = (x - centre) scale.
     */
    double centre;
    /**
     * Change of z for a unit of the argument, exactly as stored.
     */
    double scale;
    /**
     * Proven largest absolute error over the whole range, rounding in the firmware included; for fixed-point numbers over
     * every reading that the firmware can get.
     */
    double largest_error;
    /**
     * What rounding in the firmware adds to the error at most; 0 where every reading was tried, which shows what it does add.
     */
    double rounding;
    /**
     * For fixed-point numbers: reading of z = 0.
     */
    int64_t centre_code;
    /**
     * For fixed-point numbers: readings from z = 0 to z = 1; else 0.
     */
    int64_t half_code;
    /**
     * CALCORE_PROOF_CURVATURE or CALCORE_PROOF_EVERY_READING.
     */
    int32_t proof;
    /**
     * Zero.
     */
    int32_t reserved;
    /**
     * Unit of the errors: "K", or that of the signal.
     */
    char error_unit[16];
} calcore_minimax_facts;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/**
 * Number of the binary interface of the library that is loaded; a program compares it with CALCORE_ABI_VERSION.
 */
int32_t calcore_abi_version(void);

/**
 * Version of the core, such as "0.1.0". Static, not to be released.
 */
const char *calcore_version(void);

/**
 * What a status means, in a few words.
 *
 * Never null; static, not to be released. A number that is no status gives "unknown status". `calcore_error` has the
 * details of a failure.
 */
const char *calcore_status_text(calcore_status status);

/**
 * A temperature given in `unit`, in °C: t/°C = T/K - 273.15 = (t/°F - 32) 5/9.
 *
 * For a temperature; for a difference use calcore_temperature_difference_to_k.
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE below absolute zero.
 */
calcore_status calcore_temperature_to_c(int32_t unit,
                                        double value,
                                        double *t_c,
                                        struct calcore_error *err);

/**
 * A temperature given in °C, in `unit`: T/K = t/°C + 273.15; t/°F = t/°C 9/5 + 32.
 *
 * For a temperature; for a difference use calcore_temperature_difference_from_k.
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE below absolute zero.
 */
calcore_status calcore_temperature_from_c(int32_t unit,
                                          double t_c,
                                          double *value,
                                          struct calcore_error *err);

/**
 * A difference of temperatures (an error, a tolerance, an uncertainty) given in `unit`, in kelvin.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_temperature_difference_to_k(int32_t unit,
                                                   double difference,
                                                   double *dt_k,
                                                   struct calcore_error *err);

/**
 * A difference of temperatures given in kelvin, in `unit`.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_temperature_difference_from_k(int32_t unit,
                                                     double dt_k,
                                                     double *difference,
                                                     struct calcore_error *err);

/**
 * A temperature of an older scale on the ITS-90, both °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside the range of the conversion.
 */
calcore_status calcore_temperature_to_its90(int32_t scale,
                                            double t_c,
                                            double *t90_c,
                                            struct calcore_error *err);

/**
 * A temperature of the ITS-90 on an older scale, both °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside the range of the conversion.
 */
calcore_status calcore_temperature_from_its90(int32_t scale,
                                              double t90_c,
                                              double *t_c,
                                              struct calcore_error *err);

/**
 * t90 - t68 at a temperature of the ITS-90 in °C, K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_temperature_t90_minus_t68(double t90_c,
                                                 double *dt_k,
                                                 struct calcore_error *err);

/**
 * A temperature of the scale of 1948 on that of 1968, both °C, as a certificate of before 1968 was brought up to date.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_temperature_t68_from_t48(double t48_c,
                                                double *t68_c,
                                                struct calcore_error *err);

/**
 * A temperature of the scale of 1968 on that of 1948, both °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_temperature_t48_from_t68(double t68_c,
                                                double *t48_c,
                                                struct calcore_error *err);

/**
 * Temperature scale of a certificate by its name: "ITS-90", "IPTS-68" or "IPTS-48". A certificate that does not say its scale
 * cannot be used: there is no default.
 *
 * `*scale` receives CALCORE_ITS90, CALCORE_IPTS68 or CALCORE_IPTS48. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_temperature_scale_from_name(const char *name,
                                                   int32_t *scale,
                                                   struct calcore_error *err);

/**
 * Makes a thermometer by its coefficients (ohm, 1/K, 1/K^2, 1/K^4) over the range of IEC 60751, -200 °C to 850 °C.
 *
 * `*curve` receives a handle that the caller releases by calcore_cvd_free.
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless r0 and a are positive and the resistance rises over the
 * whole range.
 */
calcore_status calcore_cvd_new(double r0,
                               double a,
                               double b,
                               double c,
                               struct calcore_cvd **curve,
                               struct calcore_error *err);

/**
 * Makes a thermometer by its coefficients over a range of its own, low_c to high_c, °C.
 *
 * Ownership and status: as calcore_cvd_new; CALCORE_E_INVALID_VALUE too for an empty range or one below absolute zero.
 */
calcore_status calcore_cvd_with_range(double r0,
                                      double a,
                                      double b,
                                      double c,
                                      double low_c,
                                      double high_c,
                                      struct calcore_cvd **curve,
                                      struct calcore_error *err);

/**
 * Makes a thermometer of platinum by the coefficients of IEC 60751, of any resistance at 0 °C (ohm, positive).
 *
 * Ownership and status: as calcore_cvd_new.
 */
calcore_status calcore_cvd_iec60751(double r0,
                                    struct calcore_cvd **curve,
                                    struct calcore_error *err);

/**
 * Makes a thermometer by Callendar's and Van Dusen's constants: r0 in ohm, alpha in 1/K, delta and beta in °C
 * (A = alpha (1 + delta/100), B = -alpha delta 1e-4, C = -alpha beta 1e-8).
 *
 * Ownership and status: as calcore_cvd_new.
 */
calcore_status calcore_cvd_from_alpha_delta_beta(double r0,
                                                 double alpha,
                                                 double delta,
                                                 double beta,
                                                 struct calcore_cvd **curve,
                                                 struct calcore_error *err);

/**
 * Releases a thermometer. Null is fine; a handle of another type is left alone.
 */
void calcore_cvd_free(struct calcore_cvd *curve);

/**
 * The coefficients, derived constants and ranges of a thermometer. Set `numbers->size` first.
 */
calcore_status calcore_cvd_describe(const struct calcore_cvd *curve,
                                    struct calcore_cvd_numbers *numbers,
                                    struct calcore_error *err);

/**
 * Resistance at a temperature: t_c in °C within the range of the curve, `*ohm` in ohm.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_cvd_resistance(const struct calcore_cvd *curve,
                                      double t_c,
                                      double *ohm,
                                      struct calcore_error *err);

/**
 * Temperature that gives a resistance: ohm within the range of the curve, `*t_c` in °C, exact to the last bits.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_cvd_temperature(const struct calcore_cvd *curve,
                                       double ohm,
                                       double *t_c,
                                       struct calcore_error *err);

/**
 * Change of the resistance per kelvin at a temperature: t_c in °C within the range, `*ohm_per_k` in ohm/K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_cvd_slope(const struct calcore_cvd *curve,
                                 double t_c,
                                 double *ohm_per_k,
                                 struct calcore_error *err);

/**
 * Resistance at n temperatures. `flags`: CALCORE_STRICT, or a sum of CALCORE_INVALID_NAN and CALCORE_EXTRAPOLATE.
 * `ohm` may be `t_c` itself.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, both with the index of the first offending element and their
 * count, before anything is written.
 */
calcore_status calcore_cvd_resistance_array(const struct calcore_cvd *curve,
                                            const double *t_c,
                                            size_t n,
                                            int32_t flags,
                                            double *ohm,
                                            struct calcore_error *err);

/**
 * Temperatures that give n resistances. Flags, aliasing and status: as calcore_cvd_resistance_array.
 */
calcore_status calcore_cvd_temperature_array(const struct calcore_cvd *curve,
                                             const double *ohm,
                                             size_t n,
                                             int32_t flags,
                                             double *t_c,
                                             struct calcore_error *err);

/**
 * Slope at n temperatures, ohm/K. Flags, aliasing and status: as calcore_cvd_resistance_array.
 */
calcore_status calcore_cvd_slope_array(const struct calcore_cvd *curve,
                                       const double *t_c,
                                       size_t n,
                                       int32_t flags,
                                       double *ohm_per_k,
                                       struct calcore_error *err);

/**
 * The ranges of a curve. Set `range->size` first.
 */
calcore_status calcore_curve_describe(const struct calcore_curve *curve,
                                      struct calcore_curve_range *range,
                                      struct calcore_error *err);

/**
 * Releases a curve. Null is fine; a handle of another type is left alone.
 */
void calcore_curve_free(struct calcore_curve *curve);

/**
 * Makes a curve of a Callendar-Van Dusen thermometer, which is copied and stays the caller's.
 *
 * `*curve` receives a handle that the caller releases by calcore_curve_free.
 */
calcore_status calcore_curve_from_cvd(const struct calcore_cvd *cvd,
                                      struct calcore_curve **curve,
                                      struct calcore_error *err);

/**
 * Makes a resistance thermometer of platinum, copper or nickel by the name of its standard and its resistance at 0 °C, ohm.
 *
 * Names: "iec60751_pt385", "astm_e1137_pt385", "gost6651_pt385", "gost6651_pt391", "gost6651_cu428", "gost6651_cu426",
 * "gost6651_ni617", "din43760_ni618"; handbook sets that could not be traced to a standard: "jis_pt3916",
 * "handbook_pt3911", "handbook_pt3923", "handbook_pt3926", "handbook_pt3928", "handbook_pt3750".
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_polynomial_rtd_standard(const char *name,
                                               double r0,
                                               struct calcore_curve **curve,
                                               struct calcore_error *err);

/**
 * Makes a resistance thermometer R(t) = r0 (1 + a_1 t + a_2 t^2 + ...) by `n` coefficients (1 to 6; 1/K, 1/K^2, ...) over
 * a range, °C.
 *
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE, CALCORE_E_LENGTH_MISMATCH;
 * CALCORE_E_INVALID_VALUE unless r0 is positive and the resistance is positive and rises over the whole range.
 */
calcore_status calcore_polynomial_rtd_new(double r0,
                                          const double *coefficients,
                                          size_t n,
                                          double low_c,
                                          double high_c,
                                          struct calcore_curve **curve,
                                          struct calcore_error *err);

/**
 * Makes a resistance thermometer by two polynomials that meet at joint_c, °C, which belongs to the upper one.
 *
 * Coefficients, ownership and status: as calcore_polynomial_rtd_new; CALCORE_E_INVALID_VALUE too when the two do not meet.
 */
calcore_status calcore_polynomial_rtd_piecewise(double r0,
                                                double joint_c,
                                                const double *below,
                                                size_t n_below,
                                                const double *above,
                                                size_t n_above,
                                                double low_c,
                                                double high_c,
                                                struct calcore_curve **curve,
                                                struct calcore_error *err);

/**
 * Makes a platinum thermometer on the ITS-90 by its resistance at the triple point of water, ohm, its sub-range (section
 * of the scale, "3.3.1" to "3.3.3", such as "3.3.2.2", or its number "1" to "11") and the `n` coefficients of its
 * deviation function. H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3.
 *
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_LENGTH_MISMATCH,
 * CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_sprt_new(double r_tpw,
                                const char *subrange,
                                const double *coefficients,
                                size_t n,
                                struct calcore_curve **curve,
                                struct calcore_error *err);

/**
 * Makes a thermistor by 1/T = a + b ln R + c (ln R)^3 (T in kelvin, R in ohm), over -100 °C to 325 °C.
 *
 * Ownership and status: as calcore_steinhart_hart_with_range.
 */
calcore_status calcore_steinhart_hart_new(double a,
                                          double b,
                                          double c,
                                          struct calcore_curve **curve,
                                          struct calcore_error *err);

/**
 * Makes a thermistor by 1/T = a0 + a1 ln R + a2 (ln R)^2 + a3 (ln R)^3 over a range of its own, °C.
 *
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty range, and when
 * 1/T does not rise with ln R over it.
 */
calcore_status calcore_steinhart_hart_with_range(double a0,
                                                 double a1,
                                                 double a2,
                                                 double a3,
                                                 double low_c,
                                                 double high_c,
                                                 struct calcore_curve **curve,
                                                 struct calcore_error *err);

/**
 * Makes a thermistor by R = r25 exp(beta (1/T - 1/298.15 K)): ohm and kelvin, over -100 °C to 325 °C.
 *
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_beta_thermistor_new(double r25,
                                           double beta,
                                           struct calcore_curve **curve,
                                           struct calcore_error *err);

/**
 * The same over a range of its own, °C.
 *
 * Ownership and status: as calcore_beta_thermistor_new.
 */
calcore_status calcore_beta_thermistor_with_range(double r25,
                                                  double beta,
                                                  double low_c,
                                                  double high_c,
                                                  struct calcore_curve **curve,
                                                  struct calcore_error *err);

/**
 * Beta of a thermistor by two points, K: ln(R1/R2) / (1/T1 - 1/T2), temperatures in °C, resistances in ohm.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the resistances are positive and the temperatures differ.
 */
calcore_status calcore_beta_from_points(double t1_c,
                                        double ohm1,
                                        double t2_c,
                                        double ohm2,
                                        double *beta,
                                        struct calcore_error *err);

/**
 * Makes a curve by the `n` rows of a table, in rising or falling order of temperature, °C; the signal in any unit.
 * `interpolation`: CALCORE_LINEAR or CALCORE_MONOTONE_CUBIC. The rows are copied.
 *
 * Ownership: as calcore_curve_from_cvd. Status: CALCORE_E_TOO_FEW_POINTS for fewer than two rows, CALCORE_E_NOT_FINITE,
 * CALCORE_E_INVALID_VALUE where the temperature or the signal does not go on in one direction.
 */
calcore_status calcore_tabulated_curve_new(const double *t_c,
                                           const double *signal,
                                           size_t n,
                                           int32_t interpolation,
                                           struct calcore_curve **curve,
                                           struct calcore_error *err);

/**
 * Signal of a curve at a temperature in °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_curve_signal(const struct calcore_curve *curve,
                                    double t_c,
                                    double *signal,
                                    struct calcore_error *err);

/**
 * Temperature that gives a signal, °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_curve_temperature(const struct calcore_curve *curve,
                                         double signal,
                                         double *t_c,
                                         struct calcore_error *err);

/**
 * Temperature by the approximate inverse that the standard of a resistance thermometer publishes, °C; exact where its
 * equation has a closed inverse. For comparison with instruments that use it: calcore_curve_temperature is exact.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNKNOWN_NAME for a curve without one.
 */
calcore_status calcore_curve_temperature_approximate(const struct calcore_curve *curve,
                                                     double ohm,
                                                     double *t_c,
                                                     struct calcore_error *err);

/**
 * Change of the signal per kelvin at a temperature in °C; negative for a thermistor.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_curve_slope(const struct calcore_curve *curve,
                                   double t_c,
                                   double *signal_per_k,
                                   struct calcore_error *err);

/**
 * Signal at n temperatures. Flags, aliasing and status: as calcore_cvd_resistance_array.
 */
calcore_status calcore_curve_signal_array(const struct calcore_curve *curve,
                                          const double *t_c,
                                          size_t n,
                                          int32_t flags,
                                          double *signal,
                                          struct calcore_error *err);

/**
 * Temperatures that give n signals. Flags, aliasing and status: as calcore_cvd_resistance_array.
 */
calcore_status calcore_curve_temperature_array(const struct calcore_curve *curve,
                                               const double *signal,
                                               size_t n,
                                               int32_t flags,
                                               double *t_c,
                                               struct calcore_error *err);

/**
 * Change of the signal per kelvin at n temperatures. Flags, aliasing and status: as calcore_cvd_resistance_array.
 */
calcore_status calcore_curve_slope_array(const struct calcore_curve *curve,
                                         const double *t_c,
                                         size_t n,
                                         int32_t flags,
                                         double *signal_per_k,
                                         struct calcore_error *err);

/**
 * Ratio W = R(T)/R(273.16 K) of a thermometer made by calcore_sprt_new, at a temperature in °C.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_HANDLE for another kind of curve.
 */
calcore_status calcore_sprt_ratio(const struct calcore_curve *curve,
                                  double t_c,
                                  double *w,
                                  struct calcore_error *err);

/**
 * Compares resistances of an element at n known temperatures (°C, ohm) with every named thermometer. `r0`: resistance at
 * 0 °C, ohm; `assumed`: name of the thermometer that the transmitter is set to; `tolerance_k`: largest error that still
 * counts as a fit, K. A finding is a hypothesis, not a verdict. Set `likely->size` first.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_likely_standard(const double *t_c,
                                       const double *ohm,
                                       size_t n,
                                       double r0,
                                       const char *assumed,
                                       double tolerance_k,
                                       struct calcore_likely *likely,
                                       struct calcore_error *err);

/**
 * Name of a thermometer that calcore_polynomial_rtd_standard knows, by its place, counted from 0.
 *
 * `*needed` receives the bytes that the name takes with its zero byte; `buffer` may be null to ask for that alone.
 * Status: CALCORE_E_INDEX beyond the last, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_polynomial_rtd_name(size_t place,
                                           char *buffer,
                                           size_t capacity,
                                           size_t *needed,
                                           struct calcore_error *err);

/**
 * The coefficients of a curve: r0, a, b, c (Callendar-Van Dusen); r_tpw and those of the deviation (ITS-90); a0, a1, a2, a3
 * (Steinhart-Hart); r25, beta (thermistor); those of the deviation, from the constant on (corrected curve).
 *
 * `*count` receives how many there are, whatever `n` is. `values`: room for `n` numbers, or null with 0 to ask for that alone.
 * Status: CALCORE_E_LENGTH_MISMATCH; CALCORE_E_HANDLE for a kind of curve that is a table of its own.
 */
calcore_status calcore_curve_coefficients(const struct calcore_curve *curve,
                                          double *values,
                                          size_t n,
                                          size_t *count,
                                          struct calcore_error *err);

/**
 * r0, alpha and kink of a resistance thermometer by a polynomial. Set `numbers->size` first.
 *
 * Status: CALCORE_E_HANDLE for another kind of curve.
 */
calcore_status calcore_polynomial_rtd_describe(const struct calcore_curve *curve,
                                               struct calcore_polynomial_rtd_numbers *numbers,
                                               struct calcore_error *err);

/**
 * Value and slope (per unit of W) of the deviation function W - W_r of a thermometer of the ITS-90 at a ratio W.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a ratio that no temperature of the sub-range has; CALCORE_E_HANDLE
 * for another kind of curve.
 */
calcore_status calcore_sprt_deviation(const struct calcore_curve *curve,
                                      double w,
                                      double *deviation,
                                      double *slope,
                                      struct calcore_error *err);

/**
 * calcore_its90_acceptance by the ratios that a thermometer's own coefficients give, as far as its range holds the points.
 * Set `outcome->size` first.
 *
 * Status: as calcore_its90_acceptance; CALCORE_E_HANDLE for another kind of curve.
 */
calcore_status calcore_sprt_acceptance(const struct calcore_curve *curve,
                                       struct calcore_acceptance *outcome,
                                       struct calcore_error *err);

/**
 * A sub-range of the ITS-90 by its place, counted from 0, so that a list can be shown. Set `subrange->size` first.
 *
 * Status: CALCORE_E_INDEX beyond the last.
 */
calcore_status calcore_its90_subrange(size_t place,
                                      struct calcore_subrange *subrange,
                                      struct calcore_error *err);

/**
 * Place of the sub-range with a name, as calcore_sprt_new takes it. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_its90_find_subrange(const char *name,
                                           size_t *place,
                                           struct calcore_error *err);

/**
 * A text of the sub-range at a place. `what`: one of the CALCORE_SUBRANGE_ numbers.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX, CALCORE_E_OPTION.
 */
calcore_status calcore_its90_subrange_text(size_t place,
                                           int32_t what,
                                           size_t i,
                                           char *buffer,
                                           size_t capacity,
                                           size_t *needed,
                                           struct calcore_error *err);

/**
 * Makes a thermocouple by its letter ("B", "C", "E", "J", "K", "N", "R", "S", "T" or "A"). `side`: CALCORE_SIDE_NONE, or for
 * type B, whose emf falls before it rises, the side of the minimum that is meant.
 *
 * `*couple` receives a handle that the caller releases by calcore_thermocouple_free.
 * Status: CALCORE_E_UNKNOWN_NAME, also for a side of a type that has one temperature for each emf.
 */
calcore_status calcore_thermocouple_new(const char *letter,
                                        int32_t side,
                                        struct calcore_thermocouple **couple,
                                        struct calcore_error *err);

/**
 * Releases a thermocouple; null is fine.
 */
void calcore_thermocouple_free(struct calcore_thermocouple *couple);

/**
 * Makes a curve of a thermocouple, its reference junction at 0 °C, for all that takes a calcore_curve. The thermocouple is
 * copied and stays the caller's.
 *
 * `*curve` receives a handle that the caller releases by calcore_curve_free.
 */
calcore_status calcore_curve_from_thermocouple(const struct calcore_thermocouple *couple,
                                               struct calcore_curve **curve,
                                               struct calcore_error *err);

/**
 * Says the ranges of a thermocouple and the proven bounds of its errors. Set `numbers->size` first.
 */
calcore_status calcore_thermocouple_describe(const struct calcore_thermocouple *couple,
                                             struct calcore_thermocouple_numbers *numbers,
                                             struct calcore_error *err);

/**
 * Emf at a temperature, with the reference junction at another: E(t_c) - E(reference_junction_c), mV.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_thermocouple_emf(const struct calcore_thermocouple *couple,
                                        double t_c,
                                        double reference_junction_c,
                                        double *mv,
                                        struct calcore_error *err);

/**
 * Temperature that gives an emf (mV) with the reference junction at `reference_junction_c`: emfs are added, never
 * temperatures. Exact to what a double of emf can tell apart.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_INVALID_VALUE for an emf that two temperatures of type B
 * give, which the text names.
 */
calcore_status calcore_thermocouple_temperature(const struct calcore_thermocouple *couple,
                                                double mv,
                                                double reference_junction_c,
                                                double *t_c,
                                                struct calcore_error *err);

/**
 * Change of the emf per kelvin (Seebeck coefficient) at a temperature, mV/K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_thermocouple_slope(const struct calcore_thermocouple *couple,
                                          double t_c,
                                          double *mv_per_k,
                                          struct calcore_error *err);

/**
 * Emf between two junctions, E(t_hot_c) - E(t_cold_c), mV; of type B the whole range whatever its side.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_thermocouple_emf_between(const struct calcore_thermocouple *couple,
                                                double t_hot_c,
                                                double t_cold_c,
                                                double *mv,
                                                struct calcore_error *err);

/**
 * Temperature by the published approximate inverse polynomial, reference junction at 0 °C. It is off by what its document
 * states, some hundredths of a kelvin; calcore_thermocouple_temperature is exact.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNKNOWN_NAME for a type without one.
 */
calcore_status calcore_thermocouple_temperature_approximate(const struct calcore_thermocouple *couple,
                                                            double mv,
                                                            double *t_c,
                                                            struct calcore_error *err);

/**
 * The error band that the document of the approximate inverse states at an emf: `*low_k` to `*high_k`, approximate minus
 * exact; NaN where no band is published.
 *
 * Status: as calcore_thermocouple_temperature_approximate.
 */
calcore_status calcore_thermocouple_approximate_band(const struct calcore_thermocouple *couple,
                                                     double mv,
                                                     double *low_k,
                                                     double *high_k,
                                                     struct calcore_error *err);

/**
 * Emf at n temperatures. `reference_junction_c`: `n_junctions` temperatures, none (0 °C), 1 for all, or n, one for each.
 * `flags`: CALCORE_STRICT or CALCORE_INVALID_NAN; the reference functions are not extrapolated.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, both with index and count of the offending elements, before anything
 * is written; CALCORE_E_LENGTH_MISMATCH; CALCORE_E_INVALID_VALUE when CALCORE_EXTRAPOLATE would be needed.
 */
calcore_status calcore_thermocouple_emf_array(const struct calcore_thermocouple *couple,
                                              const double *t_c,
                                              size_t n,
                                              const double *reference_junction_c,
                                              size_t n_junctions,
                                              int32_t flags,
                                              double *mv,
                                              struct calcore_error *err);

/**
 * Temperatures that give n emfs. Reference junctions, flags and status: as calcore_thermocouple_emf_array, and for type B
 * CALCORE_E_INVALID_VALUE for an emf that two temperatures give.
 */
calcore_status calcore_thermocouple_temperature_array(const struct calcore_thermocouple *couple,
                                                      const double *mv,
                                                      size_t n,
                                                      const double *reference_junction_c,
                                                      size_t n_junctions,
                                                      int32_t flags,
                                                      double *t_c,
                                                      struct calcore_error *err);

/**
 * Temperatures of n emfs by the published approximate inverse. `flags`: CALCORE_STRICT or CALCORE_INVALID_NAN.
 *
 * Status: as calcore_thermocouple_temperature_approximate, with index and count, before anything is written.
 */
calcore_status calcore_thermocouple_temperature_approximate_array(const struct calcore_thermocouple *couple,
                                                                  const double *mv,
                                                                  size_t n,
                                                                  int32_t flags,
                                                                  double *t_c,
                                                                  struct calcore_error *err);

/**
 * Error that extension wires cause, with the head of the couple at `t_head_c` and the reference junction, at the
 * instrument, at `reference_junction_c`. `wire`: a CALCORE_WIRE_ constant; `deviation_mv` counts only for
 * CALCORE_WIRE_DEVIATING, `other` (else null) only for CALCORE_WIRE_OTHER. Set `error->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_extension_wire_error(const struct calcore_thermocouple *couple,
                                            int32_t wire,
                                            double deviation_mv,
                                            const struct calcore_thermocouple *other,
                                            double t_hot_c,
                                            double t_head_c,
                                            double reference_junction_c,
                                            struct calcore_wire_error *error,
                                            struct calcore_error *err);

/**
 * Reference ratio W_r of ideal platinum at a temperature in kelvin, 13.8033 K to 1234.93 K.
 * H. Preston-Thomas, Metrologia 27 (1990) 3-10, equations 9a and 10a.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_its90_reference_ratio(double t_k,
                                             double *w,
                                             struct calcore_error *err);

/**
 * Slope of the reference function at a temperature in kelvin, 1/K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_its90_reference_slope(double t_k,
                                             double *w_per_k,
                                             struct calcore_error *err);

/**
 * Temperature at which ideal platinum has a reference ratio, kelvin: the exact inverse of the reference function.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_its90_temperature_from_ratio(double w,
                                                    double *t_k,
                                                    struct calcore_error *err);

/**
 * The same by the published approximate inverse, equations 9b and 10b, with its published error band.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_its90_temperature_from_ratio_approximate(double w,
                                                                double *t_k,
                                                                struct calcore_error *err);

/**
 * A fixed point by its name: "e-H2", "e-H2_17K", "e-H2_20K", "Ne", "O2", "Ar", "Hg", "H2O", "Ga", "In", "Sn", "Zn", "Al",
 * "Ag", "Au", "Cu". H. Preston-Thomas, Metrologia 27 (1990) 3-10, tables 1 and 2. Set `point->size` first.
 *
 * Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_its90_fixed_point(const char *name,
                                         struct calcore_fixed_point *point,
                                         struct calcore_error *err);

/**
 * Temperature of a fixed point at a depth of immersion (m) and, for a freezing or melting point, under a pressure (Pa),
 * kelvin. `pressure_pa` = NaN: the standard pressure.
 *
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative depth or pressure, for a
 * pressure with a triple point, and for a vapour pressure point.
 */
calcore_status calcore_its90_fixed_point_temperature(const char *name,
                                                     double depth_m,
                                                     double pressure_pa,
                                                     double *t_k,
                                                     struct calcore_error *err);

/**
 * Temperature of equilibrium hydrogen by its vapour pressure in kPa, kelvin, at "e-H2_17K" or "e-H2_20K".
 *
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_its90_hydrogen_vapour_pressure_temperature(const char *name,
                                                                  double kpa,
                                                                  double *t_k,
                                                                  struct calcore_error *err);

/**
 * Checks ratios W of a thermometer at gallium, mercury and silver against the criteria of the scale; NaN for a ratio that
 * is not known. H. Preston-Thomas, Metrologia 27 (1990) 3-10, section 3.3. Set `outcome->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_TOO_FEW_POINTS without a ratio at gallium or mercury.
 */
calcore_status calcore_its90_acceptance(double w_gallium,
                                        double w_mercury,
                                        double w_silver,
                                        struct calcore_acceptance *outcome,
                                        struct calcore_error *err);

/**
 * Fills a loop by its value at 4 mA and its value at 20 mA, °C, with the levels of NAMUR NE 43 (failure at or below
 * 3.6 mA and at or above 21.0 mA, measuring from 3.8 mA to 20.5 mA). Set `range->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE when the two values are equal.
 */
calcore_status calcore_current_loop_init(double lower_range_value_c,
                                         double upper_range_value_c,
                                         struct calcore_current_loop *range,
                                         struct calcore_error *err);

/**
 * Current that an ideal transmitter gives at a temperature in °C, mA: 4 + 16 (t - LRV) / (URV - LRV).
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE when it would lie beyond the saturation levels;
 * CALCORE_E_INVALID_VALUE for an empty range or levels out of order, here and in every function of a loop.
 */
calcore_status calcore_current_loop_current(const struct calcore_current_loop *range,
                                            double t_c,
                                            double *ma,
                                            struct calcore_error *err);

/**
 * Current of a transmitter that stops at the saturation levels, mA, at a temperature in °C.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_saturated_current(const struct calcore_current_loop *range,
                                                      double t_c,
                                                      double *ma,
                                                      struct calcore_error *err);

/**
 * Value that a measuring current in mA means, °C.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a current that is not measuring: a failed or saturated loop
 * has no value.
 */
calcore_status calcore_current_loop_value(const struct calcore_current_loop *range,
                                          double ma,
                                          double *t_c,
                                          struct calcore_error *err);

/**
 * Value by the straight line for any current in mA, whatever it says about the transmitter, °C.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_extrapolated_value(const struct calcore_current_loop *range,
                                                       double ma,
                                                       double *t_c,
                                                       struct calcore_error *err);

/**
 * What a current in mA says about the transmitter: `*state` receives one of the CALCORE_CURRENT_ numbers.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_state(const struct calcore_current_loop *range,
                                          double ma,
                                          int32_t *state,
                                          struct calcore_error *err);

/**
 * Error of a current beside the true temperature in °C, mA: the current minus that of an ideal transmitter.
 *
 * Status: as calcore_current_loop_value for the current and calcore_current_loop_current for the temperature.
 */
calcore_status calcore_current_loop_error_ma(const struct calcore_current_loop *range,
                                             double ma,
                                             double reference_c,
                                             double *error_ma,
                                             struct calcore_error *err);

/**
 * Error of the value, K, that an error of the current, mA, means. For a reversed range they have opposite signs.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_error_k_from_ma(const struct calcore_current_loop *range,
                                                    double error_ma,
                                                    double *error_k,
                                                    struct calcore_error *err);

/**
 * Error of the current, mA, that an error of the value, K, means. For a reversed range they have opposite signs.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_error_ma_from_k(const struct calcore_current_loop *range,
                                                    double error_k,
                                                    double *error_ma,
                                                    struct calcore_error *err);

/**
 * An error of the value, K, in percent of the span: 100 error / |URV - LRV|.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_percent_of_span_from_k(const struct calcore_current_loop *range,
                                                           double error_k,
                                                           double *percent,
                                                           struct calcore_error *err);

/**
 * An error of the current, mA, in percent of the span of the current: 100 error / 16 mA.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_current_loop_percent_of_span_from_ma(double error_ma,
                                                            double *percent,
                                                            struct calcore_error *err);

/**
 * Error of an indication beside a reference, both °C: indicated minus reference, K. JCGM 200:2012, 2.16.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_indication_error_from_readings(double indicated_c,
                                                      double reference_c,
                                                      double *error_k,
                                                      struct calcore_error *err);

/**
 * The error, K, that a percentage of the span between two ends of a range, °C, means.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty span.
 */
calcore_status calcore_indication_error_from_percent_of_span(double percent,
                                                             double low_c,
                                                             double high_c,
                                                             double *error_k,
                                                             struct calcore_error *err);

/**
 * The error, K, that a percentage of a reading in °C means.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_indication_error_from_percent_of_reading(double percent,
                                                                double reading_c,
                                                                double *error_k,
                                                                struct calcore_error *err);

/**
 * An error, K, in percent of the span between the two ends of a range, °C.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an empty span.
 */
calcore_status calcore_indication_error_percent_of_span(double error_k,
                                                        double low_c,
                                                        double high_c,
                                                        double *percent,
                                                        struct calcore_error *err);

/**
 * An error, K, in percent of the size of a reading in °C; its sign stays that of the error.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a reading of 0 °C, where it is not defined.
 */
calcore_status calcore_indication_error_percent_of_reading(double error_k,
                                                           double reading_c,
                                                           double *percent,
                                                           struct calcore_error *err);

/**
 * The correction that undoes an error: its negative, K.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_indication_error_correction(double error_k,
                                                   double *correction_k,
                                                   struct calcore_error *err);

/**
 * The corrected value of an indication in °C, °C.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_correction_apply(double correction_k,
                                        double indicated_c,
                                        double *corrected_c,
                                        struct calcore_error *err);

/**
 * Value of a count on a digital scale that runs straight from (low_count, low) to (high_count, high), in any unit.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for ends that are equal; CALCORE_E_OUT_OF_RANGE for a count
 * outside them.
 */
calcore_status calcore_digital_value(int64_t low_count,
                                     int64_t high_count,
                                     double low,
                                     double high,
                                     int64_t count,
                                     double *value,
                                     struct calcore_error *err);

/**
 * The count nearest to a value on a digital scale; halves go to the even count.
 *
 * Scale and status: as calcore_digital_value.
 */
calcore_status calcore_digital_count(int64_t low_count,
                                     int64_t high_count,
                                     double low,
                                     double high,
                                     double value,
                                     int64_t *count,
                                     struct calcore_error *err);

/**
 * Value of one count of a digital scale, positive, and the standard uncertainty by it: one count over sqrt 12.
 *
 * Scale and status: as calcore_digital_value.
 */
calcore_status calcore_digital_resolution(int64_t low_count,
                                          int64_t high_count,
                                          double low,
                                          double high,
                                          double *resolution,
                                          double *standard_uncertainty,
                                          struct calcore_error *err);

/**
 * What a display of a given step shows for a value. `rounding`: CALCORE_ROUND_NEAREST or CALCORE_ROUND_TRUNCATE.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_display_shown(double resolution,
                                     int32_t rounding,
                                     double value,
                                     double *shown,
                                     struct calcore_error *err);

/**
 * Mean error of what a display shows (zero, or minus half a step where digits are cut off) and the standard uncertainty of
 * the value behind it once that is taken away: a step over sqrt 12.
 *
 * Status: as calcore_display_shown.
 */
calcore_status calcore_display_uncertainty(double resolution,
                                           int32_t rounding,
                                           double *mean_error,
                                           double *standard_uncertainty,
                                           struct calcore_error *err);

/**
 * Self-heating of an element by its current (mA, either direction), its resistance (ohm) and its dissipation constant
 * (mW/K). Set `heating->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_self_heating(double current_ma,
                                    double ohm,
                                    double dissipation_mw_per_k,
                                    struct calcore_self_heating_result *heating,
                                    struct calcore_error *err);

/**
 * Resistance without self-heating by readings (ohm) at two currents (mA). Set `zero->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless resistances and currents are positive, the currents differ
 * and the resistance at zero power is positive.
 */
calcore_status calcore_zero_power_resistance(double first_ma,
                                             double first_ohm,
                                             double second_ma,
                                             double second_ohm,
                                             struct calcore_zero_power *zero,
                                             struct calcore_error *err);

/**
 * Standard uncertainty, ohm, of the resistance at no power by those of the four readings that it was made from: currents in mA,
 * resistances in ohm, and their standard uncertainties, taken as independent.
 *
 * Status: as calcore_zero_power_resistance; CALCORE_E_INVALID_VALUE for a negative uncertainty.
 */
calcore_status calcore_zero_power_uncertainty(double first_ma,
                                              double first_ohm,
                                              double second_ma,
                                              double second_ohm,
                                              double u_first_ma,
                                              double u_first_ohm,
                                              double u_second_ma,
                                              double u_second_ohm,
                                              double *u_ohm,
                                              struct calcore_error *err);

/**
 * Dissipation constant, mW/K, by current (mA), resistance (ohm) and the temperature read from it (°C) at two currents.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless resistances and currents are positive, the currents differ
 * and the larger one warms more.
 */
calcore_status calcore_dissipation_from_two_currents(double first_ma,
                                                     double first_ohm,
                                                     double first_c,
                                                     double second_ma,
                                                     double second_ohm,
                                                     double second_c,
                                                     double *mw_per_k,
                                                     struct calcore_error *err);

/**
 * Error of a sensor that is not deep enough: read minus true, K. Stem by its effective diameter (mm) and factor (1 if
 * nothing is known); `t_c`: true temperature, `ambient_c`: of the surroundings, °C; depth in mm.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_immersion_error(double effective_diameter_mm,
                                       double factor,
                                       double t_c,
                                       double ambient_c,
                                       double depth_mm,
                                       double *error_k,
                                       struct calcore_error *err);

/**
 * Change of that error with the depth, K/mm.
 *
 * Arguments and status: as calcore_immersion_error.
 */
calcore_status calcore_immersion_error_per_mm(double effective_diameter_mm,
                                              double factor,
                                              double t_c,
                                              double ambient_c,
                                              double depth_mm,
                                              double *error_k_per_mm,
                                              struct calcore_error *err);

/**
 * True temperature behind a reading of a sensor that is not deep enough, °C.
 *
 * Arguments and status: as calcore_immersion_error; CALCORE_E_INVALID_VALUE when the sensor sees nothing but its
 * surroundings.
 */
calcore_status calcore_immersion_true_temperature(double effective_diameter_mm,
                                                  double factor,
                                                  double read_c,
                                                  double ambient_c,
                                                  double depth_mm,
                                                  double *t_c,
                                                  struct calcore_error *err);

/**
 * Effective diameter of a stem, mm, and true temperature, °C, by temperatures read at two depths (mm) in the same medium.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the second depth is larger; CALCORE_E_UNDETERMINED when the
 * readings do not approach the true temperature with depth.
 */
calcore_status calcore_immersion_from_two_depths(double shallow_mm,
                                                 double shallow_c,
                                                 double deep_mm,
                                                 double deep_c,
                                                 double ambient_c,
                                                 double *effective_diameter_mm,
                                                 double *t_c,
                                                 struct calcore_error *err);

/**
 * Error by a reference junction that is `excess_k` (the cause) warmer than `reference_c`, what the instrument believes.
 * `curve`: emf of the couple against 0 °C, mV; `t_c`: true temperature of the measuring junction, °C.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE outside the range of the curve (a reference junction of a
 * thermocouple: outside that of its type); CALCORE_E_UNKNOWN_NAME for a curve whose signal is no emf (a table may leave its
 * unit open).
 */
calcore_status calcore_reference_junction_effect(const struct calcore_curve *curve,
                                                 double t_c,
                                                 double reference_c,
                                                 double excess_k,
                                                 struct calcore_effect *effect,
                                                 struct calcore_error *err);

/**
 * Emf that a couple gives between its measuring junction at `t_c` and its reference junction at `reference_c`, both °C, in mV.
 * `curve`: emf of the couple against 0 °C, mV. IEC 60584-1:2013, clause 3.
 *
 * Status: as calcore_reference_junction_effect.
 */
calcore_status calcore_measured_emf(const struct calcore_curve *curve,
                                    double t_c,
                                    double reference_c,
                                    double *mv,
                                    struct calcore_error *err);

/**
 * Temperature of the measuring junction by the emf in mV and the temperature of the reference junction in °C.
 * `curve`: emf of the couple against 0 °C, mV. Set `reading->size` first.
 *
 * Status: as calcore_reference_junction_effect.
 */
calcore_status calcore_measuring_junction(const struct calcore_curve *curve,
                                          double measured_mv,
                                          double reference_c,
                                          struct calcore_junction_reading *reading,
                                          struct calcore_error *err);

/**
 * Standard uncertainty by the inhomogeneity of a couple, in the unit of the scan: range / (2 sqrt 3). `scan_range`: largest
 * minus smallest emf or temperature found while the couple is moved through a gradient.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_inhomogeneity_uncertainty(double scan_range,
                                                 double *standard_uncertainty,
                                                 struct calcore_error *err);

/**
 * Error by leads that an instrument with two wires takes for a part of the element. `t_c`: true temperature, °C;
 * `leads_ohm`: both leads together, the cause. Set `effect->size` first, here and in the other effects.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_OUT_OF_RANGE when temperature or reading lie outside
 * the range of the curve; CALCORE_E_UNKNOWN_NAME for a curve whose signal is no resistance (a table may leave its unit
 * open).
 */
calcore_status calcore_two_wire_effect(const struct calcore_curve *curve,
                                       double t_c,
                                       double leads_ohm,
                                       struct calcore_effect *effect,
                                       struct calcore_error *err);

/**
 * Error by two leads that differ in an instrument with three wires. `mismatch_ohm`: the lead in series with the element
 * minus the one that is taken away, the cause.
 *
 * Status: as calcore_two_wire_effect.
 */
calcore_status calcore_three_wire_effect(const struct calcore_curve *curve,
                                         double t_c,
                                         double mismatch_ohm,
                                         struct calcore_effect *effect,
                                         struct calcore_error *err);

/**
 * Error by an insulation resistance beside the element, ohm, the cause.
 *
 * Status: as calcore_two_wire_effect.
 */
calcore_status calcore_insulation_effect(const struct calcore_curve *curve,
                                         double t_c,
                                         double insulation_ohm,
                                         struct calcore_effect *effect,
                                         struct calcore_error *err);

/**
 * Error by an emf (microvolt, the cause) in a measurement of resistance with one direction of a current in mA.
 *
 * Status: as calcore_two_wire_effect.
 */
calcore_status calcore_thermal_emf_effect(const struct calcore_curve *curve,
                                          double t_c,
                                          double emf_uv,
                                          double current_ma,
                                          struct calcore_effect *effect,
                                          struct calcore_error *err);

/**
 * Resistance of one copper lead, ohm: length in m, cross-section in mm^2, temperature in °C. IEC 60028:1925.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_copper_lead_resistance(double length_m,
                                              double area_mm2,
                                              double t_c,
                                              double *ohm,
                                              struct calcore_error *err);

/**
 * What an instrument with two wires reads: the element and both leads, ohm.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_two_wire_reading(double element_ohm,
                                        double first_lead_ohm,
                                        double second_lead_ohm,
                                        double *ohm,
                                        struct calcore_error *err);

/**
 * The element behind what an instrument with two wires reads, ohm: the reading less both leads.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE also for a reading below that of the leads.
 */
calcore_status calcore_two_wire_element(double read_ohm,
                                        double first_lead_ohm,
                                        double second_lead_ohm,
                                        double *element_ohm,
                                        struct calcore_error *err);

/**
 * What an instrument with three wires reads: the element and the difference of the two leads, ohm.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_three_wire_reading(double element_ohm,
                                          double first_lead_ohm,
                                          double second_lead_ohm,
                                          double *ohm,
                                          struct calcore_error *err);

/**
 * What is read of an element with an insulation resistance beside it, ohm: R Ri / (R + Ri).
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_resistance_with_insulation(double element_ohm,
                                                  double insulation_ohm,
                                                  double *ohm,
                                                  struct calcore_error *err);

/**
 * The element behind a reading, ohm: the inverse of calcore_resistance_with_insulation.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE also unless the reading is below the insulation.
 */
calcore_status calcore_resistance_without_insulation(double read_ohm,
                                                     double insulation_ohm,
                                                     double *ohm,
                                                     struct calcore_error *err);

/**
 * Resistance by the voltages (mV, with their signs) at a forward and a reversed current (mA, their sizes); a constant emf
 * drops out exactly. The reversed voltage is below zero. Set `reading->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless both currents and the forward voltage are positive and the
 * reversed voltage is negative.
 */
calcore_status calcore_resistance_by_reversal(double forward_mv,
                                              double forward_ma,
                                              double reversed_mv,
                                              double reversed_ma,
                                              struct calcore_reversed_reading *reading,
                                              struct calcore_error *err);

/**
 * Half-width of a tolerance class of IEC 60751 at a temperature, K.
 *
 * `class_name`: "AA", "A", "B", "C" for thermometers, "W0.1", "W0.15", "W0.3", "W0.6", "F0.1", "F0.15", "F0.3", "F0.6"
 * for resistors. `construction`: CALCORE_WIRE_WOUND or CALCORE_FILM; it decides the range of a thermometer's class.
 * `t_c`: °C within that range (calcore_tolerance_iec60751_range).
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_tolerance_iec60751(const char *class_name,
                                          double t_c,
                                          int32_t construction,
                                          double *half_width_k,
                                          struct calcore_error *err);

/**
 * Range of temperature of a class of IEC 60751, °C. Names and construction: as calcore_tolerance_iec60751.
 *
 * Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_tolerance_iec60751_range(const char *class_name,
                                                int32_t construction,
                                                double *low_c,
                                                double *high_c,
                                                struct calcore_error *err);

/**
 * Half-width of a class of IEC 60584-1 for thermocouples at a temperature of the measuring junction, K.
 *
 * `letter`: "K", "N", "E", "J", "T", "R", "S", "B", "C" or "A"; `class_number`: 1, 2 or 3; `t_c`: °C.
 * Status: CALCORE_E_UNKNOWN_NAME for a letter or for a class that the type does not have, CALCORE_E_NOT_FINITE,
 * CALCORE_E_OUT_OF_RANGE, CALCORE_E_OPTION.
 */
calcore_status calcore_tolerance_iec60584(const char *letter,
                                          int32_t class_number,
                                          double t_c,
                                          double *half_width_k,
                                          struct calcore_error *err);

/**
 * Range of temperature of a class of IEC 60584-1, °C.
 *
 * Letter, class and status: as calcore_tolerance_iec60584.
 */
calcore_status calcore_tolerance_iec60584_range(const char *letter,
                                                int32_t class_number,
                                                double *low_c,
                                                double *high_c,
                                                struct calcore_error *err);

/**
 * Half-width of the limits of ASTM E230 for thermocouples at a temperature of the measuring junction, K.
 *
 * `letter`: "J", "T", "E", "K", "N", "R", "S", "B" or "C"; `limits`: "standard" or "special"; `t_c`: °C.
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_tolerance_astm_e230(const char *letter,
                                           const char *limits,
                                           double t_c,
                                           double *half_width_k,
                                           struct calcore_error *err);

/**
 * Range of temperature of the limits of ASTM E230, °C.
 *
 * Letter, limits and status: as calcore_tolerance_astm_e230.
 */
calcore_status calcore_tolerance_astm_e230_range(const char *letter,
                                                 const char *limits,
                                                 double *low_c,
                                                 double *high_c,
                                                 struct calcore_error *err);

/**
 * Half-width of a grade of ASTM E1137 for platinum thermometers at a temperature in °C, K. `grade`: "A" or "B".
 *
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE outside -200 °C to 650 °C.
 */
calcore_status calcore_tolerance_astm_e1137(const char *grade,
                                            double t_c,
                                            double *half_width_k,
                                            struct calcore_error *err);

/**
 * Half-width of a class of copper or nickel thermometers of GOST 6651 at a temperature in °C, K.
 *
 * `material`: "copper" or "nickel"; `class_name`: "A", "B" or "C".
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_tolerance_gost6651(const char *material,
                                          const char *class_name,
                                          double t_c,
                                          double *half_width_k,
                                          struct calcore_error *err);

/**
 * How sure a class of IEC 60584-1 is: `*confirmation` receives CALCORE_CONFIRMED_BY_SUMMARIES, CALCORE_CONFIRMATION_CONFLICT
 * or CALCORE_UNCONFIRMED.
 *
 * Letter, class and status: as calcore_tolerance_iec60584.
 */
calcore_status calcore_tolerance_iec60584_confirmation(const char *letter,
                                                       int32_t class_number,
                                                       int32_t *confirmation,
                                                       struct calcore_error *err);

/**
 * How sure the limits of ASTM E230 are at a temperature in °C: as calcore_tolerance_iec60584_confirmation.
 *
 * Letter, limits and status: as calcore_tolerance_astm_e230.
 */
calcore_status calcore_tolerance_astm_e230_confirmation(const char *letter,
                                                        const char *limits,
                                                        double t_c,
                                                        int32_t *confirmation,
                                                        struct calcore_error *err);

/**
 * Makes a tolerance that is the same at every temperature: half-width in K, not negative.
 *
 * `*tolerance` receives a handle that the caller releases by calcore_tolerance_free.
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_tolerance_new_absolute(double half_width_k,
                                              struct calcore_tolerance **tolerance,
                                              struct calcore_error *err);

/**
 * Makes a tolerance that is not the same below as above: most negative error (zero or negative) and most positive
 * error (zero or positive) allowed, K.
 *
 * Ownership and status: as calcore_tolerance_new_absolute.
 */
calcore_status calcore_tolerance_new_asymmetric(double lower_k,
                                                double upper_k,
                                                struct calcore_tolerance **tolerance,
                                                struct calcore_error *err);

/**
 * Makes a tolerance of a percentage (not negative) of the span between the two ends of a range, °C.
 *
 * Ownership and status: as calcore_tolerance_new_absolute; CALCORE_E_INVALID_VALUE too for an empty span.
 */
calcore_status calcore_tolerance_new_percent_of_span(double percent,
                                                     double low_c,
                                                     double high_c,
                                                     struct calcore_tolerance **tolerance,
                                                     struct calcore_error *err);

/**
 * Makes a tolerance of a percentage (not negative) of the reading: percent |t| / 100 with t in °C.
 *
 * Ownership and status: as calcore_tolerance_new_absolute.
 */
calcore_status calcore_tolerance_new_percent_of_reading(double percent,
                                                        struct calcore_tolerance **tolerance,
                                                        struct calcore_error *err);

/**
 * Makes a tolerance by a class of IEC 60751. Names and construction: as calcore_tolerance_iec60751.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_tolerance_new_iec60751(const char *class_name,
                                              int32_t construction,
                                              struct calcore_tolerance **tolerance,
                                              struct calcore_error *err);

/**
 * Makes a tolerance by a class of IEC 60584-1. Letter and class: as calcore_tolerance_iec60584.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_OPTION.
 */
calcore_status calcore_tolerance_new_iec60584(const char *letter,
                                              int32_t class_number,
                                              struct calcore_tolerance **tolerance,
                                              struct calcore_error *err);

/**
 * Makes a tolerance by the limits of ASTM E230. Letter and limits: as calcore_tolerance_astm_e230.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_tolerance_new_astm_e230(const char *letter,
                                               const char *limits,
                                               struct calcore_tolerance **tolerance,
                                               struct calcore_error *err);

/**
 * Makes a tolerance by a grade of ASTM E1137. Grade: as calcore_tolerance_astm_e1137.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_tolerance_new_astm_e1137(const char *grade,
                                                struct calcore_tolerance **tolerance,
                                                struct calcore_error *err);

/**
 * Makes a tolerance by a class of GOST 6651. Material and class: as calcore_tolerance_gost6651.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_tolerance_new_gost6651(const char *material,
                                              const char *class_name,
                                              struct calcore_tolerance **tolerance,
                                              struct calcore_error *err);

/**
 * Makes the sum of `n` tolerances. The parts are copied: they stay the caller's and may be released at once.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_INVALID_VALUE for no part at all.
 */
calcore_status calcore_tolerance_new_sum(const struct calcore_tolerance *const *parts,
                                         size_t n,
                                         struct calcore_tolerance **tolerance,
                                         struct calcore_error *err);

/**
 * Makes the widest of `n` tolerances. The parts are copied: they stay the caller's and may be released at once.
 *
 * Ownership: as calcore_tolerance_new_absolute. Status: CALCORE_E_INVALID_VALUE for no part at all.
 */
calcore_status calcore_tolerance_new_max(const struct calcore_tolerance *const *parts,
                                         size_t n,
                                         struct calcore_tolerance **tolerance,
                                         struct calcore_error *err);

/**
 * Releases a tolerance. Null is fine; a handle of another type is left alone.
 */
void calcore_tolerance_free(struct calcore_tolerance *tolerance);

/**
 * The errors that a tolerance allows at a temperature in °C: most negative and most positive one, K, both allowed.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE outside the range of a class.
 */
calcore_status calcore_tolerance_limits(const struct calcore_tolerance *tolerance,
                                        double t_c,
                                        double *lower_k,
                                        double *upper_k,
                                        struct calcore_error *err);

/**
 * Half-width of a tolerance at a temperature in °C, K.
 *
 * Status: as calcore_tolerance_limits; CALCORE_E_INVALID_VALUE where the limits are not symmetric.
 */
calcore_status calcore_tolerance_half_width(const struct calcore_tolerance *tolerance,
                                            double t_c,
                                            double *half_width_k,
                                            struct calcore_error *err);

/**
 * Checks a fitted Callendar-Van Dusen curve against `n` points that were not used for it: temperatures (°C), resistances
 * (ohm), and in `options` their u_x (K) and u_y (ohm); the other options are not looked at.
 *
 * Outputs, n numbers each, or null where not wanted: temperature read minus given (K), its standard uncertainty of curve
 * and point together (K), and their quotient. Set `outcome->size` first.
 * Status: as calcore_fit_read; CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_fit_hold_out(const struct calcore_fit *fit,
                                    const double *t_c,
                                    const double *ohm,
                                    size_t n,
                                    const struct calcore_fit_options *options,
                                    double *errors_k,
                                    double *uncertainties_k,
                                    double *normalised,
                                    struct calcore_test *outcome,
                                    struct calcore_error *err);

/**
 * Drift of an element since an earlier fit, at `n` temperatures (°C): what the earlier curve reads from the later one's
 * resistance, minus the temperature (K), and its standard uncertainty (K), or null where not wanted; and whether the
 * coefficients have changed. Set `outcome->size` first.
 *
 * Status: as calcore_fit_read.
 */
calcore_status calcore_fit_drift_since(const struct calcore_fit *fit,
                                       const struct calcore_fit *earlier,
                                       const double *t_c,
                                       size_t n,
                                       double *drift_k,
                                       double *uncertainties_k,
                                       struct calcore_test *outcome,
                                       struct calcore_error *err);

/**
 * Fits signal(t) - reference(t) = c1 t + ... + cd t^d to `n` temperatures (°C) and signals in the unit of the curve: a
 * thermocouple beside its table (emf in mV, reference junction at 0 °C), or any sensor beside its standard curve. Held at
 * zero at 0 °C, unless `free_at_zero` is 1, which adds c0. Degree: up to 8.
 *
 * The parameters are the fitted coefficients; the curve (calcore_fit_curve) holds from the first to the last point, and from
 * 0 °C if the deviation is held there. Options, ownership and status: as calcore_fit_callendar_van_dusen (`fixed` is refused);
 * CALCORE_E_OUT_OF_RANGE for a temperature outside the reference curve. EURAMET cg-8; common practice for the degree.
 */
calcore_status calcore_fit_deviation(const struct calcore_curve *reference,
                                     const double *t_c,
                                     const double *signal,
                                     size_t n,
                                     size_t degree,
                                     int32_t free_at_zero,
                                     const struct calcore_fit_options *options,
                                     struct calcore_fit **fit,
                                     struct calcore_error *err);

/**
 * The curve of an individual sensor: signal = reference(t) + sum of coefficients[k] t^k over a range in °C, `n` coefficients.
 * The reference is copied and stays the caller's.
 *
 * `*curve` receives a handle that the caller releases by calcore_curve_free.
 * Status: CALCORE_E_INVALID_VALUE where the signal does not change steadily over the range.
 */
calcore_status calcore_corrected_curve_new(const struct calcore_curve *reference,
                                           const double *coefficients,
                                           size_t n,
                                           double low_c,
                                           double high_c,
                                           struct calcore_curve **curve,
                                           struct calcore_error *err);

/**
 * The coefficients of a thermometer as a transmitter takes them, with the largest error that rounding adds over the range of
 * the curve. Set `entries->size` first.
 *
 * `rounded_curve`: null, or receives the curve that the entries make, which the caller releases by calcore_cvd_free.
 * Status: CALCORE_E_OPTION; CALCORE_E_INVALID_VALUE for digits that cannot be, or where rounding leaves no curve.
 */
calcore_status calcore_cvd_rounded(const struct calcore_cvd *curve,
                                   const struct calcore_entry_grid *grid,
                                   struct calcore_entries *entries,
                                   struct calcore_cvd **rounded_curve,
                                   struct calcore_error *err);

/**
 * The fewest digits, chosen together, that keep the largest error that rounding adds below a limit, K.
 *
 * `form`: CALCORE_ENTRY_ABC or CALCORE_ENTRY_ALPHA_DELTA_BETA. Outputs: as calcore_cvd_rounded.
 * Status: CALCORE_E_OPTION, CALCORE_E_INVALID_VALUE; CALCORE_E_NO_CONVERGENCE where fifteen digits do not suffice.
 */
calcore_status calcore_cvd_rounded_within(const struct calcore_cvd *curve,
                                          int32_t form,
                                          double limit_k,
                                          struct calcore_entries *entries,
                                          struct calcore_cvd **rounded_curve,
                                          struct calcore_error *err);

/**
 * Fits R0, A, B and C of a platinum thermometer to `n` temperatures (°C) and resistances (ohm), with errors in both
 * variables. IEC 60751:2022, clause 4; ISO/TS 28037:2010. C needs points below 0 °C: without any it is held at the value
 * of the standard, with a warning.
 *
 * `options`: null means nothing stated and nothing held. `*fit` receives a handle that the caller releases by
 * calcore_fit_free.
 * Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_POSITIVE_DEFINITE,
 * CALCORE_E_TOO_FEW_POINTS, CALCORE_E_UNDETERMINED, CALCORE_E_OPTION.
 */
calcore_status calcore_fit_callendar_van_dusen(const double *t_c,
                                               const double *ohm,
                                               size_t n,
                                               const struct calcore_fit_options *options,
                                               struct calcore_fit **fit,
                                               struct calcore_error *err);

/**
 * Fits y = intercept + slope x to `n` points with errors in either or both variables. ISO/TS 28037:2010.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen.
 */
calcore_status calcore_fit_straight_line(const double *x,
                                         const double *y,
                                         size_t n,
                                         const struct calcore_fit_options *options,
                                         struct calcore_fit **fit,
                                         struct calcore_error *err);

/**
 * Fits a polynomial of the given degree to `n` points.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen.
 */
calcore_status calcore_fit_polynomial(const double *x,
                                      const double *y,
                                      size_t n,
                                      size_t degree,
                                      const struct calcore_fit_options *options,
                                      struct calcore_fit **fit,
                                      struct calcore_error *err);

/**
 * Fits the equation of Steinhart and Hart to `n` temperatures (°C) and resistances (ohm). `terms`: 3 (the original, without
 * the quadratic term) or 4. Covariances in the options are refused.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen.
 */
calcore_status calcore_fit_steinhart_hart(const double *t_c,
                                          const double *ohm,
                                          size_t n,
                                          int32_t terms,
                                          const struct calcore_fit_options *options,
                                          struct calcore_fit **fit,
                                          struct calcore_error *err);

/**
 * Fits resistance at 25 °C and beta of a thermistor to `n` temperatures (°C) and resistances (ohm). Covariances in the
 * options are refused.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen.
 */
calcore_status calcore_fit_beta(const double *t_c,
                                const double *ohm,
                                size_t n,
                                const struct calcore_fit_options *options,
                                struct calcore_fit **fit,
                                struct calcore_error *err);

/**
 * Fits the deviation function of a sub-range of the ITS-90 to `n` temperatures (kelvin) and ratios W. Sub-ranges: as
 * calcore_sprt_new.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen; CALCORE_E_UNKNOWN_NAME, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_fit_its90_deviation(const double *t_k,
                                           const double *w,
                                           size_t n,
                                           const char *subrange,
                                           const struct calcore_fit_options *options,
                                           struct calcore_fit **fit,
                                           struct calcore_error *err);

/**
 * Releases a fit. Null is fine; a handle of another type is left alone.
 */
void calcore_fit_free(struct calcore_fit *fit);

/**
 * Fits the `n_parameters` parameters of the caller's own curve to `n` points, from a start near the solution, with
 * derivatives by differences. `lower`, `upper`: bounds of the parameters, or both null.
 *
 * Options, ownership and status: as calcore_fit_callendar_van_dusen (`fixed` is refused: bound a parameter instead);
 * CALCORE_E_NO_CONVERGENCE; CALCORE_E_MODEL_FAILED when the curve has no answer, `value` of the error then is its status.
 */
calcore_status calcore_fit_model(calcore_curve_model model,
                                 void *user,
                                 const double *x,
                                 const double *y,
                                 size_t n,
                                 const double *start,
                                 const double *lower,
                                 const double *upper,
                                 size_t n_parameters,
                                 const struct calcore_fit_options *options,
                                 struct calcore_fit **fit,
                                 struct calcore_error *err);

/**
 * Fits R0, A, B and C of `sensors` platinum thermometers as calcore_fit_callendar_van_dusen does, to the same bits, on
 * `threads` threads (0: as many as the machine runs at once; the results do not depend on it). A sensor that cannot be fitted
 * spoils its own row only.
 *
 * `counts`: points of each sensor, or null where all have as many. `ohm`: `n_ohm` resistances, one sensor after the other.
 * `t_c`: `n_t` temperatures, °C, in the same order, or, where all sensors have as many points, once for all of them. `options`:
 * null, or u_x (K) and u_y (ohm) with 0, 1 or n_ohm numbers, u_x_common, u_y_common and fixed, for all sensors alike; the rest
 * is refused where it is set. `*failed` receives how many sensors could not be fitted. `results->size` is set by the caller.
 * Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_OPTION; faults of a sensor are in `statuses`.
 */
calcore_status calcore_fit_callendar_van_dusen_batch(const double *t_c,
                                                     size_t n_t,
                                                     const double *ohm,
                                                     size_t n_ohm,
                                                     const size_t *counts,
                                                     size_t sensors,
                                                     const struct calcore_fit_options *options,
                                                     size_t threads,
                                                     const struct calcore_batch_results *results,
                                                     size_t *failed,
                                                     struct calcore_error *err);

/**
 * Fits the same points with `candidates` sets of held coefficients, from the smallest model to the largest, and compares each
 * with the one before it (F test of nested models where nothing is stated, else the test by chi-squared: N. R. Draper and
 * H. Smith, Applied Regression Analysis (1998), 6.1) and by leave-one-out cross-validation.
 *
 * `fixed`: 4 numbers (r0, a, b, c) for each candidate, NaN for what is fitted. `options`: as
 * calcore_fit_callendar_van_dusen, without `fixed`.
 * Outputs, one number a candidate, or null where not wanted: `p_values`, the probability of a gain at least as large if the
 * smaller model, the one before, were true (NaN for the first, where the two are not nested, or nothing is left to test by);
 * `cross_validation_k`, root of the mean square of the leave-one-out misfits, K (NaN where a point cannot be left out);
 * `fits`, handles that the caller releases by calcore_fit_free.
 * Status: as calcore_fit_callendar_van_dusen.
 */
calcore_status calcore_fit_compare_models(const double *t_c,
                                          const double *ohm,
                                          size_t n,
                                          const struct calcore_fit_options *options,
                                          const double *fixed,
                                          size_t candidates,
                                          double *p_values,
                                          double *cross_validation_k,
                                          struct calcore_fit **fits,
                                          struct calcore_error *err);

/**
 * Temperature, °C, of a resistance (ohm) that has a standard uncertainty of its own (ohm), by a fitted Callendar-Van Dusen
 * curve, and the standard uncertainty of curve and resistance together, K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has
 * no covariance; CALCORE_E_HANDLE for another kind of fit, here and in the functions below.
 */
calcore_status calcore_fit_read(const struct calcore_fit *fit,
                                double ohm,
                                double u_ohm,
                                double *t_c,
                                double *u_k,
                                struct calcore_error *err);

/**
 * What a transmitter set to `entered` reads from the fitted element at a temperature in °C, minus that temperature, K, and
 * the standard uncertainty of that error, K.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
 */
calcore_status calcore_fit_error_read_with(const struct calcore_fit *fit,
                                           const struct calcore_cvd *entered,
                                           double t_c,
                                           double *error_k,
                                           double *u_k,
                                           struct calcore_error *err);

/**
 * The band about a fitted Callendar-Van Dusen curve at `n` temperatures (°C), `coverage_factor` standard uncertainties wide
 * each way: resistance of the curve (ohm), half-widths in ohm and in kelvin. The outputs must not overlap the input.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNDETERMINED.
 */
calcore_status calcore_fit_band(const struct calcore_fit *fit,
                                const double *t_c,
                                size_t n,
                                double coverage_factor,
                                double *ohm,
                                double *half_width_ohm,
                                double *half_width_k,
                                struct calcore_error *err);

/**
 * calcore_fit_temperature_uncertainty beyond the calibrated range, asked for by name. `*beyond` receives 1 if the
 * temperature lies beyond it, else 0.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_UNDETERMINED; CALCORE_E_OUT_OF_RANGE where the equation itself no longer rises.
 */
calcore_status calcore_fit_extrapolated_temperature_uncertainty(const struct calcore_fit *fit,
                                                                double t_c,
                                                                double *u_k,
                                                                int32_t *beyond,
                                                                struct calcore_error *err);

/**
 * Covariance, K^2, of the temperatures that a fitted Callendar-Van Dusen curve reads at `n` temperatures (°C), row by row:
 * points on one curve share its errors. `n_values`: room in `values`, n x n. The two must not overlap.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UNDETERMINED.
 */
calcore_status calcore_fit_temperature_covariance(const struct calcore_fit *fit,
                                                  const double *t_c,
                                                  size_t n,
                                                  double *values,
                                                  size_t n_values,
                                                  struct calcore_error *err);

/**
 * alpha, delta and beta of a fitted Callendar-Van Dusen curve with their covariance. Set `numbers->size` first.
 */
calcore_status calcore_fit_alpha_delta_beta(const struct calcore_fit *fit,
                                            struct calcore_alpha_delta_beta *numbers,
                                            struct calcore_error *err);

/**
 * What a fit says of its quality. Set `report->size` first.
 */
calcore_status calcore_fit_describe(const struct calcore_fit *fit,
                                    struct calcore_fit_report *report,
                                    struct calcore_error *err);

/**
 * The parameters: r0, a, b, c (ohm, 1/K, 1/K^2, 1/K^4); intercept, slope; or the coefficients of 1, x, x^2 and so on.
 *
 * `n`: room in `values`, which must be `parameters` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_fit_parameters(const struct calcore_fit *fit,
                                      double *values,
                                      size_t n,
                                      struct calcore_error *err);

/**
 * Covariance of the parameters, row by row; zero rows for what was held.
 *
 * `n`: room in `values`, which must be the square of `parameters`. Status: CALCORE_E_LENGTH_MISMATCH;
 * CALCORE_E_UNDETERMINED where the fit has none.
 */
calcore_status calcore_fit_covariance(const struct calcore_fit *fit,
                                      double *values,
                                      size_t n,
                                      struct calcore_error *err);

/**
 * Numbers of a fit, one a point. `what`: one of the CALCORE_POINTS_ numbers.
 *
 * `n`: room in `values`, which must be `points` of calcore_fit_describe. Status: CALCORE_E_LENGTH_MISMATCH;
 * CALCORE_E_HANDLE where the kind of fit has no such numbers.
 */
calcore_status calcore_fit_points(const struct calcore_fit *fit,
                                  int32_t what,
                                  double *values,
                                  size_t n,
                                  struct calcore_error *err);

/**
 * Warning i of a fit: its stable number, and its text in the caller's buffer.
 *
 * Numbers: 1 C held at the standard, 2 C poorly determined, 3 no degrees of freedom, 4 ill conditioned, 5 a parameter
 * poorly determined, 6 high leverage, 7 chi-squared too large, 8 too small, 9 points played down, 10 extrapolation, 11 at a
 * bound, 12 implausible alpha, 13 delta, 14 r0, 15 resistance falls. Buffer, `*needed` and status: as calcore_run_to_json;
 * CALCORE_E_INDEX.
 */
calcore_status calcore_fit_warning(const struct calcore_fit *fit,
                                   size_t i,
                                   int32_t *number,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * The `n` set points for a thermometer like `curve` that make the largest uncertainty of the fitted curve between `low_c` and
 * `high_c` (°C) as small as it can be: ascending, equal ones are repeats. J. Kiefer and J. Wolfowitz, Can. J. Math. 12 (1960).
 *
 * `u_t` (K), `u_ohm` (ohm): standard uncertainties of a point, independent from point to point; `fit_c`: 1 if C is fitted
 * too, else 0. `t_c`: room for n numbers. Set `choice->size` first; its `ratio` becomes 1.
 * Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS, CALCORE_E_OPTION.
 */
calcore_status calcore_fit_set_points(const struct calcore_cvd *curve,
                                      double low_c,
                                      double high_c,
                                      size_t n,
                                      double u_t,
                                      double u_ohm,
                                      int32_t fit_c,
                                      double *t_c,
                                      struct calcore_set_point_choice *choice,
                                      struct calcore_error *err);

/**
 * How good the caller's own `n` set points (°C) are beside the best as many. `best_t_c`: null, or room for the n best ones.
 *
 * Arguments and status: as calcore_fit_set_points; CALCORE_E_UNDETERMINED where the points do not determine the curve.
 */
calcore_status calcore_fit_assess_set_points(const struct calcore_cvd *curve,
                                             double low_c,
                                             double high_c,
                                             const double *t_c,
                                             size_t n,
                                             double u_t,
                                             double u_ohm,
                                             int32_t fit_c,
                                             struct calcore_set_point_choice *choice,
                                             double *best_t_c,
                                             struct calcore_error *err);

/**
 * The `n` abscissae on -1 to 1 at which a polynomial of degree 1 to 3 is best measured. `x`: room for n numbers.
 * F. Pukelsheim, Optimal Design of Experiments (1993), 9.5.
 *
 * Status: CALCORE_E_OUT_OF_RANGE for the degree, CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_fit_optimal_abscissae(size_t degree,
                                             size_t n,
                                             double *x,
                                             struct calcore_error *err);

/**
 * The fitted Callendar-Van Dusen curve. Its range is the calibrated one, widened by 1 K or 2 % of its span.
 *
 * `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_HANDLE for another kind of fit.
 */
calcore_status calcore_fit_cvd(const struct calcore_fit *fit,
                               struct calcore_cvd **curve,
                               struct calcore_error *err);

/**
 * The fitted curve of a Callendar-Van Dusen thermometer, a thermistor or a deviation from a reference curve behind the general handle.
 *
 * `*curve` receives a handle that the caller releases by calcore_curve_free. Status: CALCORE_E_HANDLE for another kind of fit.
 */
calcore_status calcore_fit_curve(const struct calcore_fit *fit,
                                 struct calcore_curve **curve,
                                 struct calcore_error *err);

/**
 * The thermometer of a fitted ITS-90 deviation with its resistance at the triple point of water, ohm.
 *
 * Ownership and status: as calcore_fit_curve; CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_fit_sprt(const struct calcore_fit *fit,
                                double r_tpw,
                                struct calcore_curve **curve,
                                struct calcore_error *err);

/**
 * Standard uncertainty, K, of a temperature in kelvin that a fitted ITS-90 deviation reads, as far as the deviation itself
 * causes it.
 *
 * Status: as calcore_fit_temperature_uncertainty.
 */
calcore_status calcore_fit_its90_temperature_uncertainty(const struct calcore_fit *fit,
                                                         double t_k,
                                                         double *u_k,
                                                         struct calcore_error *err);

/**
 * Standard uncertainty, K, of a temperature in °C that the fitted curve of a Callendar-Van Dusen thermometer, a
 * Steinhart-Hart thermistor or a deviation from a reference curve reads, as far as the fit itself causes it.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_UNDETERMINED where the fit has no covariance;
 * CALCORE_E_HANDLE for another kind of fit.
 */
calcore_status calcore_fit_temperature_uncertainty(const struct calcore_fit *fit,
                                                   double t_c,
                                                   double *u_k,
                                                   struct calcore_error *err);

/**
 * Standard uncertainty, ohm, of a resistance that the fitted Callendar-Van Dusen curve gives at a temperature in °C.
 *
 * Status: as calcore_fit_temperature_uncertainty.
 */
calcore_status calcore_fit_resistance_uncertainty(const struct calcore_fit *fit,
                                                  double t_c,
                                                  double *u_ohm,
                                                  struct calcore_error *err);

/**
 * Ordinate of a fitted straight line at an abscissa with a standard uncertainty of its own (0 if exact), and the standard
 * uncertainty of the ordinate. ISO/TS 28037:2010, 11.2.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_UNDETERMINED where the fit has no covariance;
 * CALCORE_E_HANDLE for another kind of fit.
 */
calcore_status calcore_fit_predict(const struct calcore_fit *fit,
                                   double x,
                                   double u_x,
                                   double *y,
                                   double *u_y,
                                   struct calcore_error *err);

/**
 * Abscissa at which a fitted straight line has an ordinate with a standard uncertainty of its own, and the standard
 * uncertainty of the abscissa. ISO/TS 28037:2010, 11.1.
 *
 * Status: as calcore_fit_predict; CALCORE_E_UNDETERMINED for a horizontal line too.
 */
calcore_status calcore_fit_predict_inverse(const struct calcore_fit *fit,
                                           double y,
                                           double u_y,
                                           double *x,
                                           double *u_x,
                                           struct calcore_error *err);

/**
 * Value of a fitted polynomial.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_HANDLE for another kind of fit.
 */
calcore_status calcore_fit_value(const struct calcore_fit *fit,
                                 double x,
                                 double *y,
                                 struct calcore_error *err);

/**
 * Standard uncertainty of the value of a fitted polynomial, as far as its coefficients cause it.
 *
 * Status: as calcore_fit_value; CALCORE_E_UNDETERMINED where the fit has no covariance.
 */
calcore_status calcore_fit_value_uncertainty(const struct calcore_fit *fit,
                                             double x,
                                             double *u_y,
                                             struct calcore_error *err);

/**
 * Propagates the uncertainties of `n` inputs through a model, to first order, with sensitivities by numerical
 * differentiation at the estimates. JCGM 100:2008, 5.1.2 and 5.2.2.
 *
 * `correlation`: n x n coefficients, row by row, or null for independent inputs. `coverage`: a probability or a factor, as
 * `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first. `contributions`: room for n lines in the order
 * of the inputs, or null. The input arrays must not overlap the outputs.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE for what the inputs, the correlation or the
 * coverage cannot be; CALCORE_E_MODEL_FAILED when the model has no answer near the estimates; `value` of the error then is
 * the last status other than 0 that the model returned, NaN if it gave a number that is not finite.
 */
calcore_status calcore_propagate(calcore_model model,
                                 void *user,
                                 const struct calcore_input *inputs,
                                 size_t n,
                                 const double *correlation,
                                 int32_t coverage_kind,
                                 double coverage,
                                 struct calcore_budget *result,
                                 struct calcore_contribution *contributions,
                                 struct calcore_error *err);

/**
 * The same to second order: the variance of the terms is in `second_order_variance` of the result, `value` is not moved.
 * JCGM 100:2008, 5.1.2 note. Inputs that are correlated with each other must be normal.
 *
 * Arguments and status: as calcore_propagate; CALCORE_E_INVALID_VALUE also for correlated inputs that are not normal, for
 * inputs without a fourth moment, and for a model that bends too much for a series.
 */
calcore_status calcore_propagate_second_order(calcore_model model,
                                              void *user,
                                              const struct calcore_input *inputs,
                                              size_t n,
                                              const double *correlation,
                                              int32_t coverage_kind,
                                              double coverage,
                                              struct calcore_budget *result,
                                              struct calcore_contribution *contributions,
                                              struct calcore_error *err);

/**
 * A budget of `n` contributions with known sensitivities: u^2 = sum of (c_i u_i)^2, or with the correlation terms.
 *
 * `value`: best estimate of the result. `sensitivities`: how far the result moves per unit of each input. The other
 * arguments, and status: as calcore_propagate.
 */
calcore_status calcore_budget_from_contributions(double value,
                                                 const struct calcore_input *inputs,
                                                 const double *sensitivities,
                                                 size_t n,
                                                 const double *correlation,
                                                 int32_t coverage_kind,
                                                 double coverage,
                                                 struct calcore_budget *result,
                                                 struct calcore_contribution *contributions,
                                                 struct calcore_error *err);

/**
 * Effective degrees of freedom of `n` independent contributions by the Welch-Satterthwaite formula, not truncated;
 * INFINITY where all are exact. JCGM 100:2008, G.4.1.
 *
 * `contributions`: |c_i| u_i, not negative. `degrees_of_freedom`: of each, greater than 0; INFINITY where exact.
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_welch_satterthwaite(const double *contributions,
                                           const double *degrees_of_freedom,
                                           size_t n,
                                           double *effective,
                                           struct calcore_error *err);

/**
 * Coverage factor of a two-sided interval from Student's distribution. JCGM 100:2008, G.3 and table G.2.
 *
 * `probability` between 0 and 1; `degrees_of_freedom` greater than 0, not necessarily whole, INFINITY for the normal
 * distribution. Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_coverage_factor(double probability,
                                       double degrees_of_freedom,
                                       double *factor,
                                       struct calcore_error *err);

/**
 * The same with the degrees of freedom cut to the next lower whole number, but to no less than 1. JCGM 100:2008, G.4.1
 * note 1.
 *
 * Status: as calcore_coverage_factor.
 */
calcore_status calcore_coverage_factor_truncated(double probability,
                                                 double degrees_of_freedom,
                                                 double *factor,
                                                 struct calcore_error *err);

/**
 * Probability with which `factor` standard uncertainties to both sides cover the value.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a factor or degrees of freedom that are not positive.
 */
calcore_status calcore_coverage_probability(double factor,
                                            double degrees_of_freedom,
                                            double *probability,
                                            struct calcore_error *err);

/**
 * Quantile of Student's t distribution: the value that is not exceeded with a probability between 0 and 1.
 *
 * `degrees_of_freedom` greater than 0, not necessarily whole, INFINITY for the normal distribution. Status:
 * CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_student_quantile(double probability,
                                        double degrees_of_freedom,
                                        double *t,
                                        struct calcore_error *err);

/**
 * Coverage factor of the sum of two rectangles, a trapezoid. EA-4/02 M:2022, S10.14 (two rectangles) and S9.15 (one).
 *
 * Half-widths in the unit of the result, 0 for none; `probability` between 0 and 1. Status: CALCORE_E_NOT_FINITE,
 * CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_trapezoid_coverage_factor(double first_half_width,
                                                 double second_half_width,
                                                 double probability,
                                                 double *factor,
                                                 struct calcore_error *err);

/**
 * Coverage factor from the convolution of all `n` independent contributions: rectangles, triangles and arcsines with their
 * shape, all others as normal ones. EA-4/02 M:2022, S10.14.
 *
 * `contributions`: the lines of a budget; of each, kind, contribution and degrees of freedom are looked at. Status:
 * CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_coverage_factor_of_shapes(const struct calcore_contribution *contributions,
                                                 size_t n,
                                                 double probability,
                                                 double *factor,
                                                 struct calcore_error *err);

/**
 * Factor of the hyper-ellipse that covers jointly normal quantities with a probability between 0 and 1. JCGM 102:2011, 6.5.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_TOO_FEW_POINTS for no quantity.
 */
calcore_status calcore_hyper_ellipse_factor(double probability,
                                            size_t quantities,
                                            double *factor,
                                            struct calcore_error *err);

/**
 * Factor of the hyper-rectangle that covers jointly normal quantities with at least a probability, however they are
 * correlated. JCGM 102:2011, 6.5.
 *
 * Status: as calcore_hyper_ellipse_factor.
 */
calcore_status calcore_hyper_rectangle_factor(double probability,
                                              size_t quantities,
                                              double *factor,
                                              struct calcore_error *err);

/**
 * Mean of `n` independent readings, at least two: u = s/sqrt(n). JCGM 100:2008, 4.2.
 *
 * `resolution`: step of the display, in the unit of the readings; u is not taken for less than step/sqrt(12); 0 for none.
 * Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_mean_of(const double *readings,
                               size_t n,
                               double resolution,
                               struct calcore_type_a *result,
                               struct calcore_error *err);

/**
 * Mean of `n` readings at equal intervals, at least eight, that resemble the ones before: by the number of independent
 * readings that they are worth. Take a trend off first.
 *
 * Other arguments and status: as calcore_mean_of; CALCORE_E_TOO_FEW_POINTS also where they are worth fewer than four.
 */
calcore_status calcore_mean_of_autocorrelated(const double *readings,
                                              size_t n,
                                              double resolution,
                                              struct calcore_type_a *result,
                                              struct calcore_error *err);

/**
 * Mean of `n` readings, at least one, whose standard deviation is known from many others. JCGM 100:2008, 4.2.4.
 *
 * Other arguments and status: as calcore_mean_of.
 */
calcore_status calcore_mean_with_known_scatter(const double *readings,
                                               size_t n,
                                               double standard_deviation,
                                               double degrees_of_freedom,
                                               double resolution,
                                               struct calcore_type_a *result,
                                               struct calcore_error *err);

/**
 * Standard deviation pooled from `n` others with their degrees of freedom. JCGM 100:2008, 4.2.4.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_pooled(const double *standard_deviations,
                              const double *degrees_of_freedom,
                              size_t n,
                              double *pooled,
                              double *pooled_degrees_of_freedom,
                              struct calcore_error *err);

/**
 * An estimate whose certificate states U and k: u = U/k. JCGM 100:2008, 4.3.3.
 *
 * `degrees_of_freedom`: as the certificate states them, INFINITY where it states none. `made`: a normal input. Status:
 * CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_input_from_expanded(double estimate,
                                           double expanded_uncertainty,
                                           double coverage_factor,
                                           double degrees_of_freedom,
                                           struct calcore_input *made,
                                           struct calcore_error *err);

/**
 * An estimate whose certificate states U with its coverage probability: u = U/t. JCGM 100:2008, 4.3.4 and 4.3.5.
 *
 * Other arguments and status: as calcore_input_from_expanded; CALCORE_E_OUT_OF_RANGE for the probability.
 */
calcore_status calcore_input_from_level(double estimate,
                                        double expanded_uncertainty,
                                        double probability,
                                        double degrees_of_freedom,
                                        struct calcore_input *made,
                                        struct calcore_error *err);

/**
 * A reading of a display with a given step: a rectangle of half a step to both sides. JCGM 100:2008, F.2.2.1.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative step.
 */
calcore_status calcore_input_from_resolution(double reading,
                                             double step,
                                             struct calcore_input *made,
                                             struct calcore_error *err);

/**
 * What a standard may have drifted since its last calibration, judged from the last two: a rectangle about zero whose
 * half-width is their difference times `elapsed_over_interval` (time since the newer one over the time between them).
 * Common practice, no source.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time.
 */
calcore_status calcore_input_from_drift(double older,
                                        double newer,
                                        double elapsed_over_interval,
                                        struct calcore_input *made,
                                        struct calcore_error *err);

/**
 * An estimate that is known to lie within a half-width, with nothing to prefer one place to another: a rectangle.
 * JCGM 100:2008, 4.3.7.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative half-width.
 */
calcore_status calcore_input_from_half_width(double estimate,
                                             double half_width,
                                             struct calcore_input *made,
                                             struct calcore_error *err);

/**
 * How far off the difference of two readings may be because both displays round: a trapezoid about zero, the sum of two
 * rectangles of half a step each. JCGM 101:2008, 6.4.4.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative step.
 */
calcore_status calcore_input_from_resolution_of_difference(double first_step,
                                                           double second_step,
                                                           struct calcore_input *made,
                                                           struct calcore_error *err);

/**
 * Degrees of freedom of a standard uncertainty that is itself doubted by a fraction of it: 0.5 (du/u)^-2; INFINITY for no
 * doubt. JCGM 100:2008, G.4.2.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative doubt.
 */
calcore_status calcore_degrees_of_freedom_of_doubt(double relative_doubt,
                                                   double *degrees_of_freedom,
                                                   struct calcore_error *err);

/**
 * Best estimate and standard uncertainty of an input, in its unit.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_input_moments(const struct calcore_input *input,
                                     double *mean,
                                     double *standard_uncertainty,
                                     struct calcore_error *err);

/**
 * Skewness and excess kurtosis of an input: third moment over the cube of the standard uncertainty, fourth moment over its
 * square less 3; NaN where the distribution has none.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_input_higher_moments(const struct calcore_input *input,
                                            double *skewness,
                                            double *excess_kurtosis,
                                            struct calcore_error *err);

/**
 * Probability that an input does not exceed x. With finite degrees of freedom a normal one counts as Student's t
 * (JCGM 101:2008, 6.4.9.7).
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_input_cdf(const struct calcore_input *input,
                                 double x,
                                 double *probability,
                                 struct calcore_error *err);

/**
 * Value that an input does not exceed with a probability between 0 and 1.
 *
 * Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_input_quantile(const struct calcore_input *input,
                                      double probability,
                                      double *x,
                                      struct calcore_error *err);

/**
 * Propagates the uncertainties of `n` inputs through a model with `m` results, to first order, with the covariance that
 * the results have from their common inputs. JCGM 102:2011, 6.2.
 *
 * Outputs, each of which may be null: `values`, `effective_degrees_of_freedom`, `coverage_factors` (m each);
 * `sensitivities` (m x n, one row a result); `covariance` (m x m, the squares of the standard uncertainties on its
 * diagonal). The other arguments, and status: as calcore_propagate; CALCORE_E_TOO_FEW_POINTS for m = 0. The outputs must not
 * overlap each other or the inputs.
 */
calcore_status calcore_propagate_many(calcore_model_of_many model,
                                      void *user,
                                      const struct calcore_input *inputs,
                                      size_t n,
                                      size_t m,
                                      const double *correlation,
                                      int32_t coverage_kind,
                                      double coverage,
                                      double *values,
                                      double *effective_degrees_of_freedom,
                                      double *coverage_factors,
                                      double *sensitivities,
                                      double *covariance,
                                      struct calcore_error *err);

/**
 * Makes a measurement model of `n` terms; in messages they are called x0, x1 and so on.
 *
 * `kind`: CALCORE_MODEL_. `curve`: copied and stays the caller's; null, and not looked at, for CALCORE_MODEL_LINEAR. `weight`:
 * what the curve gives, or the reading itself, is multiplied by it; 1 as a rule, -1 where it is subtracted from an
 * indication among the terms of the result. `*model` receives a handle that the caller releases by
 * calcore_measurement_model_free.
 *
 * Status: CALCORE_E_OPTION for an unknown kind or place; CALCORE_E_NOT_FINITE for a coefficient or the weight;
 * CALCORE_E_INVALID_VALUE for a factor or divisor with the coefficient 0, or a junction without a curve.
 */
calcore_status calcore_measurement_model_new(int32_t kind,
                                             const struct calcore_curve *curve,
                                             const struct calcore_term *terms,
                                             size_t n,
                                             double weight,
                                             struct calcore_measurement_model **model,
                                             struct calcore_error *err);

/**
 * Releases a model. Null is fine; a handle of another type is left alone.
 */
void calcore_measurement_model_free(struct calcore_measurement_model *model);

/**
 * The budget of a measurement model whose `n` inputs, as many as its terms, are known.
 *
 * The other arguments: as calcore_propagate. Status: as calcore_propagate, and CALCORE_E_LENGTH_MISMATCH for another number
 * of inputs, CALCORE_E_OUT_OF_RANGE for a reading outside the range of the curve.
 */
calcore_status calcore_measurement_model_budget(const struct calcore_measurement_model *model,
                                                const struct calcore_input *inputs,
                                                size_t n,
                                                const double *correlation,
                                                int32_t coverage_kind,
                                                double coverage,
                                                struct calcore_budget *result,
                                                struct calcore_contribution *contributions,
                                                struct calcore_error *err);

/**
 * The budgets of a measurement model at `points` points at once: to the last bit what calcore_measurement_model_budget gives
 * at each.
 *
 * `inputs`: n of them, as many as the model has terms; their arrays hold `points` numbers. `correlation`: n x n coefficients,
 * row by row, or null for independent inputs. `flags`: CALCORE_STRICT, or CALCORE_INVALID_NAN for NaN instead of an error where a number is
 * missing or a reading lies outside the range of the curve. Outputs of `points` numbers each, any of which may be null:
 * `values`, `standard_uncertainties`, `effective_degrees_of_freedom`, `coverage_factors`, `expanded_uncertainties`; and
 * `contributions`, n rows of `points` numbers, or null. The arrays must not overlap.
 *
 * Status: as calcore_measurement_model_budget; `index` and `count` of the error tell the point.
 */
calcore_status calcore_measurement_model_at_points(const struct calcore_measurement_model *model,
                                                   const struct calcore_point_input *inputs,
                                                   size_t n,
                                                   size_t points,
                                                   const double *correlation,
                                                   int32_t coverage_kind,
                                                   double coverage,
                                                   int32_t flags,
                                                   double *values,
                                                   double *standard_uncertainties,
                                                   double *effective_degrees_of_freedom,
                                                   double *coverage_factors,
                                                   double *expanded_uncertainties,
                                                   double *contributions,
                                                   struct calcore_error *err);

/**
 * A measurement model as a calcore_model_of_arrays: pass this function to calcore_monte_carlo and the calcore_measurement_model
 * as `user`. It may be called from several threads at once.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH unless `n` is the number of its terms; CALCORE_E_OUT_OF_RANGE for a reading outside the
 * range of the curve; CALCORE_E_INVALID_VALUE for a factor or divisor that is 0; CALCORE_E_NULL, CALCORE_E_HANDLE.
 */
calcore_status calcore_measurement_model_trials(const double *const *values,
                                                size_t n,
                                                size_t trials,
                                                double *results,
                                                void *user);

/**
 * Propagates the distributions of `n` inputs through a model of arrays. JCGM 101:2008, clause 7.
 *
 * `correlation`: n x n coefficients, row by row, or null; between inputs that are not normal they are those of the normal
 * variables behind them. `settings`: null for a million trials, 95 %, seed 0, one thread. `progress` may be null.
 * `values`: room for `values_count` numbers, the first values of the trials in their order, or null (only for a fixed number
 * of trials up to 20 million, of which values_count must be the number). `histogram`: room for the counts of `classes` classes
 * of equal width, whose edges stand in the result, or null. `result`: set its `size` first.
 *
 * Status: those of the inputs and the correlation as in calcore_propagate; CALCORE_E_TOO_FEW_POINTS when the trials do not
 * support the probability; CALCORE_E_MODEL_FAILED with the draw for which the model gives no number, or with its status in
 * `value` of the error; CALCORE_E_CANCELLED.
 */
calcore_status calcore_monte_carlo(calcore_model_of_arrays model,
                                   void *user,
                                   const struct calcore_input *inputs,
                                   size_t n,
                                   const double *correlation,
                                   const struct calcore_monte_carlo_settings *settings,
                                   calcore_progress progress,
                                   void *progress_user,
                                   double *values,
                                   size_t values_count,
                                   uint64_t *histogram,
                                   size_t classes,
                                   struct calcore_monte_carlo_result *result,
                                   struct calcore_error *err);

/**
 * Whether a first-order result stands up to a Monte Carlo run: the ends of value plus or minus U against those of the
 * shortest interval, or of the symmetric one where `symmetric` is not 0, to `digits` significant digits (1 to 6) of the
 * budget's standard uncertainty. JCGM 101:2008, 8.1 and 8.2.
 *
 * Status: CALCORE_E_OUT_OF_RANGE for the digits; CALCORE_E_INVALID_VALUE when the two have other coverage probabilities;
 * CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_monte_carlo_validates(const struct calcore_monte_carlo_result *run,
                                             const struct calcore_budget *budget,
                                             int32_t digits,
                                             int32_t symmetric,
                                             struct calcore_monte_carlo_validation *result,
                                             struct calcore_error *err);

/**
 * A budget of `n` sources with names and known sensitivities. JCGM 100:2008, 5.1.2 and 5.2.2.
 *
 * `value`: best estimate of the result. `names`: one for each source. `sensitivities`: how far the result moves per unit of
 * each source. `correlation`: n x n coefficients, row by row, or null for independent sources. `coverage`: a probability or a
 * factor, as `coverage_kind` says (CALCORE_COVERAGE_). `*budget` receives a handle that the caller releases by
 * calcore_named_budget_free.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_POSITIVE_DEFINITE for what the
 * sources, the correlation or the coverage cannot be; CALCORE_E_UTF8.
 */
calcore_status calcore_named_budget_new(double value,
                                        const char *const *names,
                                        const struct calcore_input *inputs,
                                        const double *sensitivities,
                                        size_t n,
                                        const double *correlation,
                                        int32_t coverage_kind,
                                        double coverage,
                                        struct calcore_named_budget **budget,
                                        struct calcore_error *err);

/**
 * A budget of the `n` lines that another call gave, such as a ready-made budget, each under a name.
 *
 * Of each line kind, estimate, standard uncertainty, degrees of freedom and sensitivity are looked at. Other arguments,
 * ownership and status: as calcore_named_budget_new.
 */
calcore_status calcore_named_budget_from_lines(double value,
                                               const char *const *names,
                                               const struct calcore_contribution *contributions,
                                               size_t n,
                                               const double *correlation,
                                               int32_t coverage_kind,
                                               double coverage,
                                               struct calcore_named_budget **budget,
                                               struct calcore_error *err);

/**
 * Releases a budget. Null is fine; a handle of another type is left alone.
 */
void calcore_named_budget_free(struct calcore_named_budget *budget);

/**
 * The same budget with one more line. The value stays: a correction is applied to it by the caller.
 *
 * `name`: a source that the budget does not have yet. `source`: what is known of it. `sensitivity`: how far the result moves
 * per unit of the source. Coverage: as calcore_named_budget_new. `*changed` receives a new handle; `budget` stays as it is.
 *
 * Status: CALCORE_E_UNKNOWN_NAME for a source that the budget has already; CALCORE_E_INVALID_VALUE for a budget of correlated
 * sources, which is made anew from its lines instead; CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_UTF8.
 */
calcore_status calcore_named_budget_with(const struct calcore_named_budget *budget,
                                         const char *name,
                                         const struct calcore_input *source,
                                         double sensitivity,
                                         int32_t coverage_kind,
                                         double coverage,
                                         struct calcore_named_budget **changed,
                                         struct calcore_error *err);

/**
 * The same budget with another line in the place of that of the same source.
 *
 * Status: CALCORE_E_UNKNOWN_NAME for a source that the budget does not have. Otherwise as calcore_named_budget_with.
 */
calcore_status calcore_named_budget_with_replaced(const struct calcore_named_budget *budget,
                                                  const char *name,
                                                  const struct calcore_input *source,
                                                  double sensitivity,
                                                  int32_t coverage_kind,
                                                  double coverage,
                                                  struct calcore_named_budget **changed,
                                                  struct calcore_error *err);

/**
 * The same budget without the line of a source.
 *
 * Ownership and status: as calcore_named_budget_with_replaced.
 */
calcore_status calcore_named_budget_without(const struct calcore_named_budget *budget,
                                            const char *name,
                                            int32_t coverage_kind,
                                            double coverage,
                                            struct calcore_named_budget **changed,
                                            struct calcore_error *err);

/**
 * A part of the budget: the lines of `n` sources in the order of `names`, such as those that several instruments share.
 *
 * Ownership and status: as calcore_named_budget_with_replaced.
 */
calcore_status calcore_named_budget_part(const struct calcore_named_budget *budget,
                                         const char *const *names,
                                         size_t n,
                                         int32_t coverage_kind,
                                         double coverage,
                                         struct calcore_named_budget **changed,
                                         struct calcore_error *err);

/**
 * The same budget with the coverage factor that belongs to the shapes of its independent lines. EA-4/02 M:2022, S10.14.
 *
 * `probability` between 0 and 1. Ownership: as calcore_named_budget_with. Status: CALCORE_E_OUT_OF_RANGE;
 * CALCORE_E_INVALID_VALUE for correlated sources.
 */
calcore_status calcore_named_budget_with_coverage_of_shapes(const struct calcore_named_budget *budget,
                                                            double probability,
                                                            struct calcore_named_budget **changed,
                                                            struct calcore_error *err);

/**
 * The numbers of a budget. Set `result->size` first.
 */
calcore_status calcore_named_budget_describe(const struct calcore_named_budget *budget,
                                             struct calcore_budget *result,
                                             struct calcore_error *err);

/**
 * How many lines a budget has.
 */
calcore_status calcore_named_budget_count(const struct calcore_named_budget *budget,
                                          size_t *lines,
                                          struct calcore_error *err);

/**
 * All lines of a budget: room for `n` of them. Status: CALCORE_E_LENGTH_MISMATCH unless `n` is their number.
 */
calcore_status calcore_named_budget_lines(const struct calcore_named_budget *budget,
                                          struct calcore_contribution *contributions,
                                          size_t n,
                                          struct calcore_error *err);

/**
 * Name of the source of line i.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
 */
calcore_status calcore_named_budget_name(const struct calcore_named_budget *budget,
                                         size_t i,
                                         char *buffer,
                                         size_t capacity,
                                         size_t *needed,
                                         struct calcore_error *err);

/**
 * The line of a source. Status: CALCORE_E_UNKNOWN_NAME for a source that the budget does not have; CALCORE_E_UTF8.
 */
calcore_status calcore_named_budget_contribution(const struct calcore_named_budget *budget,
                                                 const char *name,
                                                 struct calcore_contribution *contribution,
                                                 struct calcore_error *err);

/**
 * The sentence of a certificate: value, expanded uncertainty, unit, coverage factor and probability, such as
 * "0.427 K ± 0.097 K (k = 2.00, 95.45 %)". JCGM 100:2008, 7.2.
 *
 * `digits` of the uncertainty, 1 or 2; `rounding`: CALCORE_ROUND_. Buffer and `*needed`: as calcore_run_to_json. Status: as
 * calcore_report; CALCORE_E_UTF8, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_named_budget_statement(const struct calcore_named_budget *budget,
                                              const char *unit,
                                              int32_t digits,
                                              int32_t rounding,
                                              char *buffer,
                                              size_t capacity,
                                              size_t *needed,
                                              struct calcore_error *err);

/**
 * Covariance of the results of `n` budgets whose lines belong to the same sources, by the same names in the same order. JCGM 102:2011, 6.2
 * (clause from memory).
 *
 * `correlation`: of the sources, as many rows as a budget has lines, or null for independent ones. `covariance`: room for
 * n x n numbers, row by row. Status: CALCORE_E_LENGTH_MISMATCH for budgets with another number of lines,
 * CALCORE_E_UNKNOWN_NAME for a line that has another name than in the first one;
 * CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_POSITIVE_DEFINITE for what no correlation can be.
 */
calcore_status calcore_named_budget_covariance(const struct calcore_named_budget *const *budgets,
                                               size_t n,
                                               const double *correlation,
                                               double *covariance,
                                               struct calcore_error *err);

/**
 * Covariance of the results of `n` budgets that share some of their sources, by their `names`; what else a budget holds is its
 * own, whatever its name. JCGM 100:2008, F.1.2.3.
 *
 * `covariance`: room for n x n numbers, row by row. Status: CALCORE_E_UNKNOWN_NAME for a source that no budget has, or that
 * one has twice.
 */
calcore_status calcore_named_budget_shared_covariance(const struct calcore_named_budget *const *budgets,
                                                      size_t n,
                                                      const char *const *names,
                                                      size_t names_count,
                                                      double *covariance,
                                                      struct calcore_error *err);

/**
 * Budget by calcore_temperature_block_sources at a temperature, degC.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_TEMPERATURE_BLOCK_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage.
 */
calcore_status calcore_temperature_block_budget(double t_c,
                                                const struct calcore_temperature_block_sources *stated,
                                                int32_t coverage_kind,
                                                double coverage,
                                                struct calcore_budget *result,
                                                struct calcore_contribution *contributions,
                                                struct calcore_error *err);

/**
 * Budget by calcore_liquid_bath_sources at a temperature, degC.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_LIQUID_BATH_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage.
 */
calcore_status calcore_liquid_bath_budget(double t_c,
                                          const struct calcore_liquid_bath_sources *stated,
                                          int32_t coverage_kind,
                                          double coverage,
                                          struct calcore_budget *result,
                                          struct calcore_contribution *contributions,
                                          struct calcore_error *err);

/**
 * Budget by calcore_reference_probe_sources at a temperature, degC.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_REFERENCE_PROBE_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage.
 */
calcore_status calcore_reference_probe_budget(double t_c,
                                              const struct calcore_reference_probe_sources *stated,
                                              int32_t coverage_kind,
                                              double coverage,
                                              struct calcore_budget *result,
                                              struct calcore_contribution *contributions,
                                              struct calcore_error *err);

/**
 * Budget by calcore_rtd_comparison_sources at a resistance, ohm.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_RTD_COMPARISON_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
 */
calcore_status calcore_rtd_comparison_budget(double ohm,
                                             const struct calcore_rtd_comparison_sources *stated,
                                             int32_t coverage_kind,
                                             double coverage,
                                             struct calcore_budget *result,
                                             struct calcore_contribution *contributions,
                                             struct calcore_error *err);

/**
 * Budget by calcore_thermocouple_furnace_sources at a temperature, degC.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_THERMOCOUPLE_FURNACE_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage.
 */
calcore_status calcore_thermocouple_furnace_budget(double t_c,
                                                   const struct calcore_thermocouple_furnace_sources *stated,
                                                   int32_t coverage_kind,
                                                   double coverage,
                                                   struct calcore_budget *result,
                                                   struct calcore_contribution *contributions,
                                                   struct calcore_error *err);

/**
 * Budget by calcore_thermocouple_emf_sources at a emf, uV.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_THERMOCOUPLE_EMF_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage.
 */
calcore_status calcore_thermocouple_emf_budget(double emf_uv,
                                               const struct calcore_thermocouple_emf_sources *stated,
                                               int32_t coverage_kind,
                                               double coverage,
                                               struct calcore_budget *result,
                                               struct calcore_contribution *contributions,
                                               struct calcore_error *err);

/**
 * Budget by calcore_indicator_by_simulation_sources at a error, K.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_INDICATOR_BY_SIMULATION_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
 */
calcore_status calcore_indicator_by_simulation_budget(double error_k,
                                                      const struct calcore_indicator_by_simulation_sources *stated,
                                                      int32_t coverage_kind,
                                                      double coverage,
                                                      struct calcore_budget *result,
                                                      struct calcore_contribution *contributions,
                                                      struct calcore_error *err);

/**
 * Budget by calcore_transmitter_sources at a error, K.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_TRANSMITTER_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
 */
calcore_status calcore_transmitter_budget(double error_k,
                                          const struct calcore_transmitter_sources *stated,
                                          int32_t coverage_kind,
                                          double coverage,
                                          struct calcore_budget *result,
                                          struct calcore_contribution *contributions,
                                          struct calcore_error *err);

/**
 * Budget by calcore_instrument_in_block_sources at a error, K.
 *
 * `coverage`: a probability or a factor, as `coverage_kind` says (CALCORE_COVERAGE_). `result`: set its `size` first.
 * `contributions`: room for CALCORE_INSTRUMENT_IN_BLOCK_LINES lines, or null. Status: CALCORE_E_NOT_FINITE;
 * CALCORE_E_INVALID_VALUE for a negative number or one that must be greater than 0; CALCORE_E_OUT_OF_RANGE for the
 * coverage; CALCORE_E_TOO_FEW_POINTS for fewer than 2 readings.
 */
calcore_status calcore_instrument_in_block_budget(double error_k,
                                                  const struct calcore_instrument_in_block_sources *stated,
                                                  int32_t coverage_kind,
                                                  double coverage,
                                                  struct calcore_budget *result,
                                                  struct calcore_contribution *contributions,
                                                  struct calcore_error *err);

/**
 * Rounds a value and its uncertainty: the uncertainty to `digits` significant digits, 1 or 2, the value to match.
 *
 * `rounding`: CALCORE_ROUND_. `resolution`: step of the reading that the value rests on, 0 where none applies. Status:
 * CALCORE_E_OUT_OF_RANGE for the digits, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OPTION.
 */
calcore_status calcore_report(double value,
                              double uncertainty,
                              int32_t digits,
                              int32_t rounding,
                              double resolution,
                              struct calcore_reported *result,
                              struct calcore_error *err);

/**
 * The same as text in UTF-8, value and uncertainty with all their digits on both sides of a plus-minus sign.
 *
 * `buffer`: room for `capacity` bytes, or null with 0 to ask for the size; `needed`: bytes with the final zero. Status: as
 * calcore_report; CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_report_text(double value,
                                   double uncertainty,
                                   int32_t digits,
                                   int32_t rounding,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * Guard band at which a value on the acceptance limit has the given probability to lie outside the tolerance, beyond either
 * limit. Negative for risks above about a half. JCGM 106:2012, 8.3.2.
 *
 * Limits as for calcore_decide. `degrees_of_freedom`: of the standard uncertainty, INFINITY for a normal state.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0 and 1; CALCORE_E_INVALID_VALUE for a
 * negative standard uncertainty or degrees of freedom that are not positive; CALCORE_E_TOO_FEW_POINTS for no limit;
 * CALCORE_E_UNDETERMINED where even a value in the middle of the tolerance has a larger risk.
 */
calcore_status calcore_guard_band_for_specific_risk(double lower,
                                                    double upper,
                                                    double standard_uncertainty,
                                                    double degrees_of_freedom,
                                                    double risk,
                                                    double *guard_band,
                                                    struct calcore_error *err);

/**
 * Guard band at which the global consumer's risk of a process has a given value, such as the 2 % of ANSI/NCSL Z540.3-2006,
 * 5.3 b.
 *
 * Limits, `process` and `standard_uncertainty` (greater than 0) as for calcore_risk. `convention`:
 * CALCORE_FALSE_ACCEPT_JOINT or CALCORE_FALSE_ACCEPT_GIVEN_ACCEPTED. `relax`: 0 gives a guard band of 0 where the risk is
 * met without one, 1 then moves the limits outward until it is reached.
 *
 * Status: as calcore_risk; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0 and 1; CALCORE_E_UNDETERMINED where no
 * guard band gives it; CALCORE_E_OPTION.
 */
calcore_status calcore_guard_band_for_global_risk(double lower,
                                                  double upper,
                                                  const struct calcore_input *process,
                                                  double standard_uncertainty,
                                                  double risk,
                                                  int32_t convention,
                                                  int32_t relax,
                                                  double *guard_band,
                                                  struct calcore_error *err);

/**
 * Multiplier M = 1.04 - exp(0.38 ln TUR - 0.54) of the expanded uncertainty in the guard band of method 6 of the handbook
 * of ANSI/NCSL Z540.3-2006 (from memory); negative from a test uncertainty ratio of about 4.6.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a ratio that is not positive.
 */
calcore_status calcore_method_6_multiplier(double test_uncertainty_ratio,
                                           double *multiplier,
                                           struct calcore_error *err);

/**
 * Guard band that keeps the joint false-accept risk below 2 % whatever the in-tolerance probability: M U, or 0 where M is
 * negative.
 *
 * `lower`, `upper`: both tolerance limits. `expanded_uncertainty`: for 95 % coverage, in their unit.
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_UNDETERMINED for limits to one side only.
 */
calcore_status calcore_guard_band_method_6(double lower,
                                           double upper,
                                           double expanded_uncertainty,
                                           double *guard_band,
                                           struct calcore_error *err);

/**
 * Guard band T - sqrt(T^2 - U^2), T half the width of the tolerance: acceptance limits at T sqrt(1 - 1/TUR^2). Common
 * practice, no source.
 *
 * Status: as calcore_guard_band_method_6; CALCORE_E_OUT_OF_RANGE for an expanded uncertainty above T.
 */
calcore_status calcore_guard_band_root_difference(double lower,
                                                  double upper,
                                                  double expanded_uncertainty,
                                                  double *guard_band,
                                                  struct calcore_error *err);

/**
 * Test uncertainty ratio: (upper - lower)/(2 U), U the expanded uncertainty of the measurement process for 95 % coverage.
 * ANSI/NCSL Z540.3-2006, 3.11 (clause from memory).
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for an expanded uncertainty that is not positive;
 * CALCORE_E_UNDETERMINED for limits to one side only.
 */
calcore_status calcore_test_uncertainty_ratio(double lower,
                                              double upper,
                                              double expanded_uncertainty,
                                              double *ratio,
                                              struct calcore_error *err);

/**
 * Test accuracy ratio: (upper - lower) over twice the specified accuracy of the standard. Common practice, no source.
 *
 * Status: as calcore_test_uncertainty_ratio.
 */
calcore_status calcore_test_accuracy_ratio(double lower,
                                           double upper,
                                           double accuracy_half_width,
                                           double *ratio,
                                           struct calcore_error *err);

/**
 * Measurement capability index: (upper - lower)/(4 u). JCGM 106:2012, 7.5.
 *
 * Status: as calcore_test_uncertainty_ratio.
 */
calcore_status calcore_measurement_capability_index(double lower,
                                                    double upper,
                                                    double standard_uncertainty,
                                                    double *index,
                                                    struct calcore_error *err);

/**
 * E_n number: (value - reference)/sqrt(U_x^2 + U_ref^2 - 2 r U_x U_ref), both expanded with one coverage factor. |E_n| <= 1
 * is satisfactory. ISO/IEC 17043:2010, B.3.1.3; ISO 13528:2015, 9.7.
 *
 * `correlation`: of the two results, -1 to 1; 0 for independent ones.
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative expanded uncertainty or a difference without
 * uncertainty; CALCORE_E_OUT_OF_RANGE for the correlation.
 */
calcore_status calcore_e_n(double value,
                           double expanded_uncertainty,
                           double reference,
                           double reference_expanded_uncertainty,
                           double correlation,
                           double *number,
                           struct calcore_error *err);

/**
 * Global risks: of measuring items of a process with a normal measurement error and accepting what lies within the
 * tolerance limits moved inward by the guard band (outward where it is negative). JCGM 106:2012, 9.5.
 *
 * Limits as for calcore_decide. `process`: distribution of the true values, of any kind that calcore_input knows.
 * `standard_uncertainty`: of the measurement, 0 is allowed. `result`: set its `size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for limits in the wrong order, a negative standard uncertainty or a
 * process without width; CALCORE_E_TOO_FEW_POINTS for no limit at all; CALCORE_E_NO_CONVERGENCE for a process whose density
 * cannot be integrated, such as Student's t with less than one degree of freedom.
 */
calcore_status calcore_risk(double lower,
                            double upper,
                            const struct calcore_input *process,
                            double standard_uncertainty,
                            double guard_band,
                            struct calcore_risk_result *result,
                            struct calcore_error *err);

/**
 * Normal process about the middle of the tolerance, of which a fraction is in tolerance.
 *
 * `convention`: CALCORE_IN_TOLERANCE_TRUE, or CALCORE_IN_TOLERANCE_OBSERVED for a fraction that was measured with
 * `standard_uncertainty`, whose scatter then is taken off; it is not looked at otherwise.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_OUT_OF_RANGE for a probability that is not between 0 and 1; CALCORE_E_UNDETERMINED
 * for limits to one side only; CALCORE_E_INVALID_VALUE where the measurements alone scatter more; CALCORE_E_OPTION.
 */
calcore_status calcore_process_in_tolerance(double lower,
                                            double upper,
                                            double probability,
                                            int32_t convention,
                                            double standard_uncertainty,
                                            double *mean,
                                            double *standard_deviation,
                                            struct calcore_error *err);

/**
 * Mean and standard deviation of the true value of one item after it was measured, given a normal process.
 * JCGM 106:2012, 6.2. The specific risk with a prior is what calcore_probability_of_conformity says of them.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative standard uncertainty or a process that is not normal.
 */
calcore_status calcore_after_measurement(const struct calcore_input *process,
                                         double value,
                                         double standard_uncertainty,
                                         double *mean,
                                         double *standard_deviation,
                                         struct calcore_error *err);

/**
 * Probability of conformity of one item for any state of knowledge about it, and its complement. A normal state with finite
 * degrees of freedom counts as Student's t. JCGM 106:2012, 7.2 and 7.3.
 *
 * Limits as for calcore_decide. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_conformity(const struct calcore_input *state,
                                  double lower,
                                  double upper,
                                  double *inside,
                                  double *outside,
                                  struct calcore_error *err);

/**
 * Decides whether a measured value conforms to tolerance limits; a value on a limit is inside.
 *
 * Value, standard uncertainty (0 is allowed), limits and widths in one unit. `lower` = -INFINITY and `upper` = INFINITY
 * mean no limit on that side. `rule`: null means simple acceptance. `decision`: set its `size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for limits in the wrong order, a negative standard uncertainty, or
 * a negative guard band with any rule but guarded acceptance; CALCORE_E_OUT_OF_RANGE for a risk that is not between 0
 * and 1; CALCORE_E_TOO_FEW_POINTS for no limit at all.
 */
calcore_status calcore_decide(double value,
                              double standard_uncertainty,
                              double lower,
                              double upper,
                              const struct calcore_decision_rule *rule,
                              struct calcore_decision *decision,
                              struct calcore_error *err);

/**
 * Probability that the true value lies within the limits, for a normal distribution about the measured value.
 * JCGM 106:2012, 7.4.
 *
 * Limits: as calcore_decide. Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_probability_of_conformity(double value,
                                                 double standard_uncertainty,
                                                 double lower,
                                                 double upper,
                                                 double *probability,
                                                 struct calcore_error *err);

/**
 * Judges a record of `n` readings by a criterion on its last window, which reaches back `window_s` seconds from the last
 * reading: largest minus smallest value at most `max_span`, slope at most `max_slope_per_min` either way.
 *
 * Times in s, rising; values in any unit, the limits in the same. `steadiness`: set its `size` first.
 * Status: CALCORE_E_NOT_FINITE with the index of the reading; CALCORE_E_INVALID_VALUE for limits that are not positive or
 * times that do not rise; CALCORE_E_TOO_FEW_POINTS for an empty record.
 */
calcore_status calcore_steady(const double *time_s,
                              const double *value,
                              size_t n,
                              double window_s,
                              double max_span,
                              double max_slope_per_min,
                              struct calcore_steadiness *steadiness,
                              struct calcore_error *err);

/**
 * Fills a criterion: window (s), largest slope (per minute) and largest scatter; confidence 0.95, no dwell, spikes beyond 5
 * robust standard deviations, resolution 0. Set `criterion->size` first. The limits are checked where they are used.
 */
calcore_status calcore_settled_criterion_init(double window_s,
                                              double max_slope_per_min,
                                              double max_scatter,
                                              struct calcore_settled_criterion *criterion,
                                              struct calcore_error *err);

/**
 * Judges a whole record of `n` readings: the state after the last one, to the same bits as a monitor that took them one by
 * one. Times in s, rising; values in any unit, the limits in the same. Set `state->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_TOO_FEW_POINTS for an empty record.
 */
calcore_status calcore_settled(const double *time_s,
                               const double *value,
                               size_t n,
                               const struct calcore_settled_criterion *criterion,
                               struct calcore_settled_state *state,
                               struct calcore_error *err);

/**
 * A monitor without readings. `*monitor` receives a handle that the caller releases by calcore_monitor_free.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE for a limit that is none.
 */
calcore_status calcore_monitor_new(const struct calcore_settled_criterion *criterion,
                                   struct calcore_monitor **monitor,
                                   struct calcore_error *err);

/**
 * Releases a monitor. Null is fine; a handle of another type is left alone.
 */
void calcore_monitor_free(struct calcore_monitor *monitor);

/**
 * Takes a reading at a time (s, later than the one before) and judges the window that ends with it. Set `state->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a time that is not later; the reading is not taken then.
 */
calcore_status calcore_monitor_push(struct calcore_monitor *monitor,
                                    double time_s,
                                    double value,
                                    struct calcore_settled_state *state,
                                    struct calcore_error *err);

/**
 * How long still to wait until the criterion is met, by the exponential that the window follows. Set `wait->size` first.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS below five readings; CALCORE_E_UNDETERMINED where the window follows no exponential that
 * dies out: too short, too noisy, or driven by something else.
 */
calcore_status calcore_monitor_wait(const struct calcore_monitor *monitor,
                                    struct calcore_wait *wait,
                                    struct calcore_error *err);

/**
 * Drift of a record of `n` readings: a least-squares line without the spikes, further from a robust line than `spike_limit`
 * robust standard deviations (infinite: none) and than `resolution`. Its uncertainties allow for correlation between
 * neighbours. Set `trend->size` first.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS below three readings, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_drift(const double *time_s,
                             const double *value,
                             size_t n,
                             double spike_limit,
                             double resolution,
                             struct calcore_trend *trend,
                             struct calcore_error *err);

/**
 * Value of a record at the moment `at_s`: straight between the readings before and after it; along the line through the whole
 * record outside, as far as `max_extrapolation_s`. Set `found->size` first.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE; CALCORE_E_OUT_OF_RANGE too far outside.
 */
calcore_status calcore_reference_at(const double *time_s,
                                    const double *value,
                                    size_t n,
                                    double at_s,
                                    double max_extrapolation_s,
                                    struct calcore_reference_at_moment *found,
                                    struct calcore_error *err);

/**
 * How far a thermometer with a time constant (s) stays behind in a ramp (K/min), K; positive where it reads low in a rise.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time constant.
 */
calcore_status calcore_lag(double time_constant_s,
                           double rate_per_min,
                           double *lag_k,
                           struct calcore_error *err);

/**
 * What is to be added to an error (indicated minus reference), K, because instrument and reference follow differently late
 * in a ramp (K/min), and its standard uncertainty from that of the rate, K. Time constants in s.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a negative time constant or uncertainty.
 */
calcore_status calcore_lag_correction(double instrument_s,
                                      double reference_s,
                                      double rate_per_min,
                                      double u_rate_per_min,
                                      double *correction_k,
                                      double *u_correction_k,
                                      struct calcore_error *err);

/**
 * Correlation of neighbouring values of a record about their mean; 0 without scatter.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS below three values, CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_lag_1_autocorrelation(const double *value,
                                             size_t n,
                                             double *correlation,
                                             struct calcore_error *err);

/**
 * How many independent readings `readings` autocorrelated ones are worth for their mean. A negative correlation counts as
 * none.
 *
 * Status: CALCORE_E_OUT_OF_RANGE for a correlation not between -1 and 1, CALCORE_E_NOT_FINITE, CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_effective_count(size_t readings,
                                       double correlation,
                                       double *count,
                                       struct calcore_error *err);

/**
 * An R-statistic by its three filter factors, each above 0 and up to 1: of the mean, of the variance about it, of the
 * differences. S. Cao, R. R. Rhinehart, J. Process Control 5 (1995).
 *
 * `*statistic` receives a handle that the caller releases by calcore_r_statistic_free.
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_r_statistic_new(double mean,
                                       double variance,
                                       double difference,
                                       struct calcore_r_statistic **statistic,
                                       struct calcore_error *err);

/**
 * Releases an R-statistic. Null is fine; a handle of another type is left alone.
 */
void calcore_r_statistic_free(struct calcore_r_statistic *statistic);

/**
 * Takes a value; `*r` receives the statistic, near 1 for a steady signal and larger where it moves; NaN before the filters
 * have run in and while successive values do not differ at all.
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_r_statistic_push(struct calcore_r_statistic *statistic,
                                        double value,
                                        double *r,
                                        struct calcore_error *err);

/**
 * Attribution i of a result, in short. Set `attribution->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_attribution(const struct calcore_result *result,
                                          size_t i,
                                          struct calcore_attribution *attribution,
                                          struct calcore_error *err);

/**
 * Set point j of attribution i, in short. Set `point->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_attribution_point(const struct calcore_result *result,
                                                size_t i,
                                                size_t j,
                                                struct calcore_attribution_point *point,
                                                struct calcore_error *err);

/**
 * Share k at set point j of attribution i. Its link: calcore_result_text. Set `share->size` first.
 *
 * Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_share(const struct calcore_result *result,
                                    size_t i,
                                    size_t j,
                                    size_t k,
                                    struct calcore_share *share,
                                    struct calcore_error *err);

/**
 * Fit i of an element: new coefficients. Set `fit->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_element_fit(const struct calcore_result *result,
                                          size_t i,
                                          struct calcore_element_fit *fit,
                                          struct calcore_error *err);

/**
 * What fit i leaves at every point, K, and the standard uncertainty of its curve there, K. `n`: room in both arrays,
 * which must be `points` of calcore_element_fit. An uncertainty that could not be had is NaN.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_result_element_fit_points(const struct calcore_result *result,
                                                 size_t i,
                                                 double *residuals_k,
                                                 double *standard_uncertainties_k,
                                                 size_t n,
                                                 struct calcore_error *err);

/**
 * The new curve of fit i, over the range in which it holds.
 *
 * `*curve` receives a handle that the caller releases by calcore_cvd_free. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_element_curve(const struct calcore_result *result,
                                            size_t i,
                                            struct calcore_cvd **curve,
                                            struct calcore_error *err);

/**
 * Releases a result. Null is fine; a handle of another type is left alone.
 */
void calcore_result_free(struct calcore_result *result);

/**
 * Writes a result as JSON into the caller's buffer. The same run gives the same bytes in Rust, C and Python.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_DOCUMENT for a number that JSON cannot hold.
 */
calcore_status calcore_result_to_json(const struct calcore_result *result,
                                      char *buffer,
                                      size_t capacity,
                                      size_t *needed,
                                      struct calcore_error *err);

/**
 * How much a result holds. Set `counts->size` first.
 */
calcore_status calcore_result_count(const struct calcore_result *result,
                                    struct calcore_result_counts *counts,
                                    struct calcore_error *err);

/**
 * Number of the instrument with a tag.
 *
 * Status: CALCORE_E_UNKNOWN_NAME when no instrument of the result has it.
 */
calcore_status calcore_result_find(const struct calcore_result *result,
                                   const char *tag,
                                   size_t *instrument,
                                   struct calcore_error *err);

/**
 * Set point i of a result. Set `set_point->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_set_point(const struct calcore_result *result,
                                        size_t i,
                                        struct calcore_set_point *set_point,
                                        struct calcore_error *err);

/**
 * Whether the reference was steady at set point i, values in kelvin. Set `steadiness->size` first.
 *
 * Status: CALCORE_E_INDEX, also where the run does not say when it counts as steady (`judged` of the set point is 0).
 */
calcore_status calcore_result_steadiness(const struct calcore_result *result,
                                         size_t i,
                                         struct calcore_steadiness *steadiness,
                                         struct calcore_error *err);

/**
 * Instrument i of a result, in short. Set `instrument->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_instrument(const struct calcore_result *result,
                                         size_t i,
                                         struct calcore_instrument *instrument,
                                         struct calcore_error *err);

/**
 * Point j of instrument i. Set `point->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_point(const struct calcore_result *result,
                                    size_t i,
                                    size_t j,
                                    struct calcore_point *point,
                                    struct calcore_error *err);

/**
 * Budget of point j of instrument i, in kelvin. Set `budget->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_budget(const struct calcore_result *result,
                                     size_t i,
                                     size_t j,
                                     struct calcore_budget *budget,
                                     struct calcore_error *err);

/**
 * The same budget with the names of its sources, to be read and changed by them. `*budget` receives a handle that the caller
 * releases by calcore_named_budget_free; it stands without the result. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_named_budget(const struct calcore_result *result,
                                           size_t i,
                                           size_t j,
                                           struct calcore_named_budget **budget,
                                           struct calcore_error *err);

/**
 * Line k of the budget of point j of instrument i. Its source: calcore_result_text. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_contribution(const struct calcore_result *result,
                                           size_t i,
                                           size_t j,
                                           size_t k,
                                           struct calcore_contribution *contribution,
                                           struct calcore_error *err);

/**
 * Covariance matrix of all errors, K^2, row by row, in the order of the instruments and, within, of their points.
 *
 * `n`: room in `covariance`, which must be the square of `errors` of calcore_result_count. Status:
 * CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_result_covariance(const struct calcore_result *result,
                                         double *covariance,
                                         size_t n,
                                         struct calcore_error *err);

/**
 * Copies a text into the caller's buffer of `capacity` bytes, ended by a zero byte.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json.
 */
calcore_status calcore_text_copy(const struct calcore_text *text,
                                 char *buffer,
                                 size_t capacity,
                                 size_t *needed,
                                 struct calcore_error *err);

/**
 * Releases a text. Null is fine; a handle of another type is left alone.
 */
void calcore_text_free(struct calcore_text *text);

/**
 * Reads the description of a run and checks it for contradictions. `text`: JSON in UTF-8 of `length` bytes; a zero byte
 * at its end is not needed and not counted.
 *
 * `*run` receives a handle that the caller releases by calcore_run_free.
 * Status: CALCORE_E_UTF8; CALCORE_E_DOCUMENT at the first field that is missing, unknown, misspelt or of the wrong kind,
 * the message begins with its path; CALCORE_E_INVALID_RUN with all contradictions in the message.
 */
calcore_status calcore_run_from_json(const char *text,
                                     size_t length,
                                     struct calcore_run **run,
                                     struct calcore_error *err);

/**
 * Releases a run. Null is fine; a handle of another type is left alone.
 */
void calcore_run_free(struct calcore_run *run);

/**
 * Writes the description of a run as JSON into the caller's buffer of `capacity` bytes, ended by a zero byte.
 *
 * `*needed` receives the bytes that the text takes with its zero byte, also when the buffer is too small
 * (CALCORE_E_BUFFER_TOO_SMALL, nothing written). `buffer` null and `capacity` 0: only `*needed`, CALCORE_OK.
 */
calcore_status calcore_run_to_json(const struct calcore_run *run,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * Evaluates a run: errors, uncertainties, verdicts, attribution, covariance, new coefficients.
 *
 * `*result` receives a handle that the caller releases by calcore_result_free.
 * Status: what the curves and tolerances say of a reading they cannot take, such as CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_run_evaluate(const struct calcore_run *run,
                                    struct calcore_result **result,
                                    struct calcore_error *err);

/**
 * Writes a text of a result into the caller's buffer. `what`: one of the CALCORE_TEXT_ numbers, which say what the
 * numbers i, j and k mean; those that they do not name are not looked at.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX for an element that is not there.
 */
calcore_status calcore_result_text(const struct calcore_result *result,
                                   int32_t what,
                                   size_t i,
                                   size_t j,
                                   size_t k,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * Hysteresis, repeatability, scatter and linearity of the instrument with a tag. Set `figures->size` first.
 *
 * Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_result_figures(const struct calcore_result *result,
                                      const char *tag,
                                      struct calcore_figures *figures,
                                      struct calcore_error *err);

/**
 * Mean error (K) of the instrument with a tag at every set point (°C) over all visits, ascending. `n`: room in each array that
 * is not null, which must be `mean_errors` of calcore_figures.
 *
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_result_mean_errors(const struct calcore_result *result,
                                          const char *tag,
                                          double *nominal_c,
                                          double *error_k,
                                          size_t n,
                                          struct calcore_error *err);

/**
 * What to do with every instrument, in the order of the result: one of the CALCORE_ACTION_ numbers, and the largest part of its
 * tolerance that it uses. `adjust_from`: part of the tolerance from which on an instrument that passes is adjusted, such as
 * 0.7. `n`: room in each array that is not null, which must be `instruments` of calcore_result_count.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE for a part that is not above 0,
 * CALCORE_E_OUT_OF_RANGE for one above 1.
 */
calcore_status calcore_result_actions(const struct calcore_result *result,
                                      double adjust_from,
                                      int32_t *actions,
                                      double *used,
                                      size_t n,
                                      struct calcore_error *err);

/**
 * What the pattern of the errors of the loop that ends at a tag points to, as JSON: a list of hypotheses, each with its link,
 * pattern, possible causes and the part of the variation that it explains. They are hints, not verdicts.
 *
 * `*text` receives a handle that the caller releases by calcore_text_free. Status: CALCORE_E_UNKNOWN_NAME.
 */
calcore_status calcore_result_hypotheses(const struct calcore_result *result,
                                         const char *tag,
                                         struct calcore_text **text,
                                         struct calcore_error *err);

/**
 * What the loop that ends at `tag` would indicate without the error of `link`, at every set point at which both were read.
 *
 * `*count` receives how many points there are; `points`: room for `n`, or null with 0 to ask for the count alone.
 * Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_result_after_correcting(const struct calcore_result *result,
                                               const char *tag,
                                               const char *link,
                                               struct calcore_corrected_point *points,
                                               size_t n,
                                               size_t *count,
                                               struct calcore_error *err);

/**
 * The shares at set point j of attribution i put together in three ways. Set `combinations->size` first.
 *
 * Status: CALCORE_E_INDEX.
 */
calcore_status calcore_result_combinations(const struct calcore_result *result,
                                           size_t i,
                                           size_t j,
                                           struct calcore_combinations *combinations,
                                           struct calcore_error *err);

/**
 * The compensated sum of the shares of the loop that ends at a tag, at a set point of the run counted from 0, K: the error of
 * the loop to the last bit.
 *
 * Status: CALCORE_E_UNKNOWN_NAME; CALCORE_E_INDEX where the loop was not read at that set point.
 */
calcore_status calcore_result_sum_of_shares(const struct calcore_result *result,
                                            const char *tag,
                                            size_t set_point,
                                            double *sum_k,
                                            struct calcore_error *err);

/**
 * How many comparisons of references a result holds.
 */
calcore_status calcore_result_reference_comparisons(const struct calcore_result *result,
                                                    size_t *count,
                                                    struct calcore_error *err);

/**
 * Comparison i of a further reference with the first one. Set `comparison->size` first. `buffer`: receives the tag of the
 * further reference, as calcore_run_to_json does; null and 0 where it is not wanted.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_result_reference_comparison(const struct calcore_result *result,
                                                   size_t i,
                                                   struct calcore_reference_comparison *comparison,
                                                   char *buffer,
                                                   size_t capacity,
                                                   size_t *needed,
                                                   struct calcore_error *err);

/**
 * How the reference had settled at set point i by slope and scatter, values in kelvin. Set `state->size` first.
 *
 * Status: CALCORE_E_INDEX, also where the run does not ask for it.
 */
calcore_status calcore_result_settled(const struct calcore_result *result,
                                      size_t i,
                                      struct calcore_settled_state *state,
                                      struct calcore_error *err);

/**
 * Single adjustments that would bring the loops of a result into tolerance, each evaluated again. Trims at the ends of the range
 * take away the mean of all visits of a set point, up and down. What would shift no reading by more than 1e-9 of the range of
 * its link is not proposed: there may be none.
 *
 * `*proposals` receives a handle that the caller releases by calcore_proposals_free. Status: as calcore_run_evaluate.
 */
calcore_status calcore_result_adjustments(const struct calcore_result *result,
                                          struct calcore_proposals **proposals,
                                          struct calcore_error *err);

/**
 * Releases proposals. Null is fine; a handle of another type is left alone.
 */
void calcore_proposals_free(struct calcore_proposals *proposals);

/**
 * How many proposals there are.
 */
calcore_status calcore_proposals_count(const struct calcore_proposals *proposals,
                                       size_t *count,
                                       struct calcore_error *err);

/**
 * Proposal i. Set `proposal->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_proposals_get(const struct calcore_proposals *proposals,
                                     size_t i,
                                     struct calcore_proposal *proposal,
                                     struct calcore_error *err);

/**
 * Error j that proposal i leaves. Set `remaining->size` first. Status: CALCORE_E_INDEX.
 */
calcore_status calcore_proposals_remaining(const struct calcore_proposals *proposals,
                                           size_t i,
                                           size_t j,
                                           struct calcore_remaining_error *remaining,
                                           struct calcore_error *err);

/**
 * A text of proposal i. `what`: one of the CALCORE_PROPOSAL_ numbers.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX, CALCORE_E_OPTION.
 */
calcore_status calcore_proposals_text(const struct calcore_proposals *proposals,
                                      int32_t what,
                                      size_t i,
                                      size_t j,
                                      char *buffer,
                                      size_t capacity,
                                      size_t *needed,
                                      struct calcore_error *err);

/**
 * All proposals as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_proposals_to_json(const struct calcore_proposals *proposals,
                                         struct calcore_text **text,
                                         struct calcore_error *err);

/**
 * Plans by a request: instruments with their ranges and required points, heat sources, order. `text`: JSON in UTF-8 of `length`
 * bytes, as calcore/schema/loop_calibration_plan_request.json says.
 *
 * `*plan` receives a handle that the caller releases by calcore_plan_free.
 * Status: CALCORE_E_UTF8; CALCORE_E_DOCUMENT at the first fault; CALCORE_E_INVALID_RUN with everything that cannot be served.
 */
calcore_status calcore_plan_from_json(const char *text,
                                      size_t length,
                                      struct calcore_plan **plan_out,
                                      struct calcore_error *err);

/**
 * Releases a plan. Null is fine; a handle of another type is left alone.
 */
void calcore_plan_free(struct calcore_plan *plan);

/**
 * A plan in short. Set `numbers->size` first.
 */
calcore_status calcore_plan_describe(const struct calcore_plan *plan,
                                     struct calcore_plan_numbers *numbers,
                                     struct calcore_error *err);

/**
 * What heat source i does. Set `source->size` first. `buffer`: receives its tag, as calcore_run_to_json does.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_plan_source(const struct calcore_plan *plan,
                                   size_t i,
                                   struct calcore_source_plan *source,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * The set points of heat source i, °C, ascending. `n`: room, which must be `set_points` of calcore_source_plan.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_plan_set_points(const struct calcore_plan *plan,
                                       size_t i,
                                       double *t_c,
                                       size_t n,
                                       struct calcore_error *err);

/**
 * The visits of heat source i, °C, in their order. `n`: room, which must be `visits` of calcore_source_plan.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_plan_visits(const struct calcore_plan *plan,
                                   size_t i,
                                   double *t_c,
                                   size_t n,
                                   struct calcore_error *err);

/**
 * A whole plan as JSON, with what each set point serves and the proof that fewer do not.
 *
 * `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_plan_to_json(const struct calcore_plan *plan,
                                    struct calcore_text **text,
                                    struct calcore_error *err);

/**
 * The degree + 1 temperatures between `low_c` and `high_c` (°C) at which a polynomial of a degree from 1 to 12 is best fitted.
 * `n`: room in `t_c`, which must be degree + 1. F. Pukelsheim, Optimal Design of Experiments (1993).
 *
 * Status: CALCORE_E_LENGTH_MISMATCH, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_plan_fit_points(size_t degree,
                                       double low_c,
                                       double high_c,
                                       double *t_c,
                                       size_t n,
                                       struct calcore_error *err);

/**
 * Evaluates `n` runs on `threads` threads (0: as many as the machine runs at once); the results do not depend on it.
 *
 * `results`: room for n handles, which the caller releases by calcore_result_free; null where a run could not be evaluated.
 * `statuses`: null, or room for n: CALCORE_OK or why not; calcore_run_evaluate on that run gives the text.
 * Status: CALCORE_E_HANDLE, CALCORE_E_NULL for a handle that is none; faults of a run are in `statuses`.
 */
calcore_status calcore_run_evaluate_all(const struct calcore_run *const *runs,
                                        size_t n,
                                        size_t threads,
                                        struct calcore_result **results,
                                        calcore_status *statuses,
                                        struct calcore_error *err);

/**
 * The points of `n` runs as one table, evaluated on `threads` threads (0: as many as the machine runs at once): a row for each
 * instrument and set point, in the order of the runs. Needs no more memory than the rows.
 *
 * `rows`: room for `capacity` rows; there are no more than readings of instruments. `*written` receives their number. `statuses`:
 * null, or room for n: CALCORE_OK, or why the run has no rows; the rows of the other runs are there.
 * Status: CALCORE_E_HANDLE, CALCORE_E_NULL for a handle that is none; CALCORE_E_BUFFER_TOO_SMALL, with the rows needed as `value` of
 * the error.
 */
calcore_status calcore_run_evaluate_points(const struct calcore_run *const *runs,
                                           size_t n,
                                           size_t threads,
                                           struct calcore_point_row *rows,
                                           size_t capacity,
                                           size_t *written,
                                           calcore_status *statuses,
                                           struct calcore_error *err);

/**
 * A run like `run` with its set points read from separated text: `csv` of `length` bytes, the first line names the columns,
 * fields may be in double quotes, `separator` is one ASCII character such as ',' or ';'. `mapping`: JSON of `mapping_length`
 * bytes that says which column is what, as calcore/schema/loop_calibration_mapping.json says. Empty cells are left out and
 * reported, never filled.
 *
 * `*filled` receives a handle that the caller releases by calcore_run_free; `*left_out`, unless null, the report as JSON, which
 * the caller releases by calcore_text_free.
 * Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_OPTION; CALCORE_E_INVALID_RUN with all problems of the table, or all
 * contradictions of the run.
 */
calcore_status calcore_run_with_csv(const struct calcore_run *run,
                                    const char *csv,
                                    size_t length,
                                    int32_t separator,
                                    const char *mapping,
                                    size_t mapping_length,
                                    struct calcore_run **filled,
                                    struct calcore_text **left_out,
                                    struct calcore_error *err);

/**
 * A run like `run` with its set points read from arrays: `columns` names and arrays of `rows` numbers each; NaN is a missing
 * value, left out and reported.
 *
 * Mapping, ownership and status: as calcore_run_with_csv.
 */
calcore_status calcore_run_with_arrays(const struct calcore_run *run,
                                       const char *const *names,
                                       const double *const *arrays,
                                       size_t columns,
                                       size_t rows,
                                       const char *mapping,
                                       size_t mapping_length,
                                       struct calcore_run **filled,
                                       struct calcore_text **left_out,
                                       struct calcore_error *err);

/**
 * Begins a calibration with what was found. The run is copied and stays the caller's.
 *
 * `*calibration` receives a handle that the caller releases by calcore_calibration_free.
 * Status: CALCORE_E_INVALID_RUN for a contradiction or a run whose phase is not as_found.
 */
calcore_status calcore_calibration_new(const struct calcore_run *as_found,
                                       struct calcore_calibration **calibration,
                                       struct calcore_error *err);

/**
 * Reads a calibration from JSON in UTF-8 of `length` bytes, as calcore/schema/loop_calibration_calibration_file.json says.
 *
 * `*calibration` receives a handle that the caller releases by calcore_calibration_free.
 * Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_INVALID_RUN.
 */
calcore_status calcore_calibration_from_json(const char *text,
                                             size_t length,
                                             struct calcore_calibration **calibration,
                                             struct calcore_error *err);

/**
 * Releases a calibration. Null is fine; a handle of another type is left alone.
 */
void calcore_calibration_free(struct calcore_calibration *calibration);

/**
 * Replaces what was found by a longer record of it, as long as nothing was adjusted: set points may be added, none changed or
 * left out.
 *
 * Status: CALCORE_E_INVALID_RUN after the first adjustment, or where a reading already there is missing or another.
 */
calcore_status calcore_calibration_extend_as_found(struct calcore_calibration *calibration,
                                                   const struct calcore_run *longer,
                                                   struct calcore_error *err);

/**
 * Notes an adjustment; what was found is closed from now on. Its texts are copied.
 *
 * Status: CALCORE_E_INVALID_RUN for a tag that the run does not know, or after the as-left run; CALCORE_E_UTF8.
 */
calcore_status calcore_calibration_adjust(struct calcore_calibration *calibration,
                                          const struct calcore_adjustment_event *event,
                                          struct calcore_error *err);

/**
 * Ends a calibration with what was left.
 *
 * Status: CALCORE_E_INVALID_RUN for a contradiction, a run whose phase is not as_left, a second one, readings copied from the
 * as-found run, or without an adjustment.
 */
calcore_status calcore_calibration_finish(struct calcore_calibration *calibration,
                                          const struct calcore_run *as_left,
                                          struct calcore_error *err);

/**
 * What was found, as a run of its own that the caller releases by calcore_run_free.
 */
calcore_status calcore_calibration_as_found(const struct calcore_calibration *calibration,
                                            struct calcore_run **run,
                                            struct calcore_error *err);

/**
 * What was left, as a run of its own that the caller releases by calcore_run_free.
 *
 * Status: CALCORE_E_INDEX where nothing was read after an adjustment.
 */
calcore_status calcore_calibration_as_left(const struct calcore_calibration *calibration,
                                           struct calcore_run **run,
                                           struct calcore_error *err);

/**
 * A calibration as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_calibration_to_json(const struct calcore_calibration *calibration,
                                           struct calcore_text **text,
                                           struct calcore_error *err);

/**
 * The record of a calibration: inputs, options, results, version, in canonical form with a hash of the content, complete enough
 * to compute every number again bit for bit.
 *
 * `details`: null with 0, or JSON of `length` bytes as calcore/schema/loop_calibration_certificate_details.json says.
 * `*text` receives a handle that the caller releases by calcore_text_free.
 * Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT; as calcore_run_evaluate.
 */
calcore_status calcore_record(const struct calcore_calibration *calibration,
                              const char *details_json,
                              size_t length,
                              struct calcore_text **text,
                              struct calcore_error *err);

/**
 * Reads a record of `length` bytes, compares the hash of its content and computes every number again.
 *
 * `*check` receives a handle that the caller releases by calcore_record_check_free. A changed or differing number is no error
 * but is said. Status: CALCORE_E_UTF8, CALCORE_E_DOCUMENT, CALCORE_E_INVALID_RUN.
 */
calcore_status calcore_record_check_from_json(const char *text,
                                              size_t length,
                                              struct calcore_record_check **check,
                                              struct calcore_error *err);

/**
 * Releases a check. Null is fine; a handle of another type is left alone.
 */
void calcore_record_check_free(struct calcore_record_check *check);

/**
 * What came out of a check. Set `outcome->size` first.
 */
calcore_status calcore_record_check_describe(const struct calcore_record_check *check,
                                             struct calcore_record_outcome *outcome,
                                             struct calcore_error *err);

/**
 * Difference i of a check: the path of the number and both values.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
 */
calcore_status calcore_record_check_difference(const struct calcore_record_check *check,
                                               size_t i,
                                               char *buffer,
                                               size_t capacity,
                                               size_t *needed,
                                               struct calcore_error *err);

/**
 * The calibration of a record, which the caller releases by calcore_calibration_free.
 */
calcore_status calcore_record_check_calibration(const struct calcore_record_check *check,
                                                struct calcore_calibration **calibration,
                                                struct calcore_error *err);

/**
 * A whole check as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_record_check_to_json(const struct calcore_record_check *check,
                                            struct calcore_text **text,
                                            struct calcore_error *err);

/**
 * SHA-256 of a text of `length` bytes, 64 hexadecimal digits. FIPS PUB 180-4.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_UTF8.
 */
calcore_status calcore_content_hash(const char *text,
                                    size_t length,
                                    char *buffer,
                                    size_t capacity,
                                    size_t *needed,
                                    struct calcore_error *err);

/**
 * The data of a certificate by ISO/IEC 17025:2017, 7.8, as JSON, with what is still missing.
 *
 * Details, ownership and status: as calcore_record.
 */
calcore_status calcore_result_certificate(const struct calcore_result *result,
                                          const char *details_json,
                                          size_t length,
                                          struct calcore_text **text,
                                          struct calcore_error *err);

/**
 * The points of a result as comma-separated text with a line of names.
 *
 * `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_result_points_csv(const struct calcore_result *result,
                                         struct calcore_text **text,
                                         struct calcore_error *err);

/**
 * The word of the open list of conformities that a verdict (CALCORE_PASS to CALCORE_NO_FAIL) stands for.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_OPTION.
 */
calcore_status calcore_conformity_word(int32_t verdict,
                                       char *buffer,
                                       size_t capacity,
                                       size_t *needed,
                                       struct calcore_error *err);

/**
 * How many documents have a published JSON Schema.
 */
calcore_status calcore_schema_count(size_t *count,
                                    struct calcore_error *err);

/**
 * Name of document i: "run", "certificate" and so on.
 *
 * Buffer, `*needed` and status: as calcore_run_to_json; CALCORE_E_INDEX.
 */
calcore_status calcore_schema_name(size_t i,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * The JSON Schema (draft 2020-12) of a document, by the name that calcore_schema_name gives.
 *
 * `*text` receives a handle that the caller releases by calcore_text_free. Status: CALCORE_E_UNKNOWN_NAME, CALCORE_E_UTF8.
 */
calcore_status calcore_schema(const char *name,
                              struct calcore_text **text,
                              struct calcore_error *err);

/**
 * Compares two results of the same instruments, such as as found and as left, or this year and last year. Visits from the same
 * side are compared with each other.
 *
 * `*changes` receives a handle that the caller releases by calcore_changes_free.
 */
calcore_status calcore_result_compare(const struct calcore_result *first,
                                      const struct calcore_result *second,
                                      struct calcore_changes **changes,
                                      struct calcore_error *err);

/**
 * Releases changes. Null is fine; a handle of another type is left alone.
 */
void calcore_changes_free(struct calcore_changes *changes);

/**
 * How many changes there are.
 */
calcore_status calcore_changes_count(const struct calcore_changes *changes,
                                     size_t *count,
                                     struct calcore_error *err);

/**
 * Change i. Set `change->size` first. `buffer`: receives the tag of its instrument, as calcore_run_to_json does.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_changes_get(const struct calcore_changes *changes,
                                   size_t i,
                                   struct calcore_change *change,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * All changes as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_changes_to_json(const struct calcore_changes *changes,
                                       struct calcore_text **text,
                                       struct calcore_error *err);

/**
 * Normalized error of two results with their expanded uncertainties and the expanded uncertainty of what they have in common (0
 * for nothing): (x1 - x2) / sqrt(U1^2 + U2^2 - 2 Uc^2). ISO 13528:2022, 9.7.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE for a negative uncertainty or none at all; CALCORE_E_OUT_OF_RANGE for
 * a common part above sqrt(U1 U2), which would correlate the results by more than 1.
 */
calcore_status calcore_normalized_error(double x1,
                                        double expanded_1,
                                        double x2,
                                        double expanded_2,
                                        double common_expanded,
                                        double *e_n,
                                        struct calcore_error *err);

/**
 * Drift over `n` calibrations, at least three: times in years, rising; as-found errors and their standard uncertainties, K.
 * `as_left_k`: null, or the errors after an adjustment, NaN where nothing was adjusted: the steps are taken out.
 *
 * `*history` receives a handle that the caller releases by calcore_history_free.
 * Status: CALCORE_E_TOO_FEW_POINTS, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE.
 */
calcore_status calcore_history_new(const double *time_a,
                                   const double *as_found_k,
                                   const double *standard_uncertainty_k,
                                   const double *as_left_k,
                                   size_t n,
                                   struct calcore_history **history_out,
                                   struct calcore_error *err);

/**
 * Releases a history. Null is fine; a handle of another type is left alone.
 */
void calcore_history_free(struct calcore_history *history);

/**
 * The drift. Set `drift->size` first.
 */
calcore_status calcore_history_describe(const struct calcore_history *history,
                                        struct calcore_history_drift *drift,
                                        struct calcore_error *err);

/**
 * The errors as if nothing had been adjusted, K. `n`: room, which must be `points` of calcore_history_drift.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_history_joined(const struct calcore_history *history,
                                      double *joined_k,
                                      size_t n,
                                      struct calcore_error *err);

/**
 * Error to be expected at a time (years), with the adjustments that were made, K, and its standard uncertainty, K: the larger of
 * what the scatter about the line and what the stated uncertainties say. The calibration to come counts as uncertain as those
 * that were, on average (root of the mean square).
 *
 * Status: CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_history_predict(const struct calcore_history *history,
                                       double time_a,
                                       double *error_k,
                                       double *u_k,
                                       struct calcore_error *err);

/**
 * When the error would leave +-limit_k at a two-sided probability between 0 and 1, years on the same scale; NaN if not within `longest_a` years
 * after the last calibration. ILAC-G24:2022 / OIML D 10:2022.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_history_due(const struct calcore_history *history,
                                   double limit_k,
                                   double probability,
                                   double longest_a,
                                   double *due_a,
                                   struct calcore_error *err);

/**
 * A drift as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_history_to_json(const struct calcore_history *history,
                                       struct calcore_text **text,
                                       struct calcore_error *err);

/**
 * The history of every instrument and set point over `n` calibrations, at least two, as JSON: points, changes between
 * calibrations with their E_n, drift from three calibrations on. Times in years, rising; `as_left`: null, or one result for each
 * calibration, null where nothing was adjusted.
 *
 * `*text` receives a handle that the caller releases by calcore_text_free.
 * Status: CALCORE_E_INVALID_VALUE for times that do not rise, CALCORE_E_TOO_FEW_POINTS, CALCORE_E_INVALID_RUN for results of
 * another phase than their place.
 */
calcore_status calcore_result_histories(const double *time_a,
                                        const struct calcore_result *const *as_found,
                                        const struct calcore_result *const *as_left,
                                        size_t n,
                                        struct calcore_text **text,
                                        struct calcore_error *err);

/**
 * The next interval by a staircase: `interval` in any unit, `used` the part of the tolerance that the error used, above 1 out of
 * tolerance. Set `rule->size` first.
 *
 * Status: CALCORE_E_INVALID_VALUE, CALCORE_E_OUT_OF_RANGE, CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_staircase(double interval,
                                 double used,
                                 const struct calcore_staircase_rule *rule,
                                 double *next,
                                 struct calcore_error *err);

/**
 * Years left by the hours that an instrument has been in use since its calibration: interval and use in h, habit in h a year.
 * ILAC-G24:2022 / OIML D 10:2022, method 3.
 *
 * Status: CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_in_use(double interval_h,
                              double used_h,
                              double hours_per_a,
                              double *left_a,
                              struct calcore_error *err);

/**
 * First of `n` checks in service (K, with standard uncertainties, K) whose error may exceed a limit (K) at a coverage factor; -1
 * for none. ILAC-G24:2022 / OIML D 10:2022, method 4.
 *
 * Status: CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE.
 */
calcore_status calcore_in_service(const double *check_k,
                                  const double *u_k,
                                  size_t n,
                                  double limit_k,
                                  double coverage_factor,
                                  int64_t *first,
                                  struct calcore_error *err);

/**
 * The interval at which a target share of the instruments is still in tolerance, from the share observed at an interval, for an
 * exponential loss of reliability; bounds by Wilson's interval of the share. ILAC-G24:2022 / OIML D 10:2022, method 5. Set
 * `found->size` first.
 *
 * Status: CALCORE_E_OUT_OF_RANGE, CALCORE_E_INVALID_VALUE, CALCORE_E_NOT_FINITE, CALCORE_E_TOO_FEW_POINTS.
 */
calcore_status calcore_reliability_interval_from_counts(double interval,
                                                        size_t in_tolerance,
                                                        size_t calibrations,
                                                        double target,
                                                        double probability,
                                                        struct calcore_reliability_interval *found,
                                                        struct calcore_error *err);

/**
 * Which of `n` results rest on the reference `tag`, found to be off by `error_k` (K, indicated minus true, beyond what its
 * certificate said) at `m` temperatures (°C, rising), and how much they change. `times`: when each result was obtained;
 * `last_good`, `found`: when the reference was last known to be right, and when it was found; all on one scale.
 *
 * `*impacts` receives a handle that the caller releases by calcore_impacts_free.
 * Status: as calcore_run_evaluate; CALCORE_E_UNKNOWN_NAME for a reference that no result used; CALCORE_E_INVALID_VALUE for
 * dates that are not in order; CALCORE_E_LENGTH_MISMATCH, CALCORE_E_NOT_FINITE, CALCORE_E_INVALID_RUN.
 */
calcore_status calcore_result_impact(const struct calcore_result *const *results,
                                     const double *times,
                                     size_t n,
                                     const char *tag,
                                     const double *t_c,
                                     const double *error_k,
                                     size_t m,
                                     double last_good,
                                     double found,
                                     struct calcore_impacts **impacts,
                                     struct calcore_error *err);

/**
 * Releases impacts. Null is fine; a handle of another type is left alone.
 */
void calcore_impacts_free(struct calcore_impacts *impacts);

/**
 * How many impacts there are.
 */
calcore_status calcore_impacts_count(const struct calcore_impacts *impacts,
                                     size_t *count,
                                     struct calcore_error *err);

/**
 * Impact i. Set `one->size` first. `buffer`: receives the tag of its instrument, as calcore_run_to_json does.
 *
 * Status: CALCORE_E_INDEX, CALCORE_E_BUFFER_TOO_SMALL.
 */
calcore_status calcore_impacts_get(const struct calcore_impacts *impacts,
                                   size_t i,
                                   struct calcore_impact *one,
                                   char *buffer,
                                   size_t capacity,
                                   size_t *needed,
                                   struct calcore_error *err);

/**
 * All impacts as JSON. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_impacts_to_json(const struct calcore_impacts *impacts,
                                       struct calcore_text **text,
                                       struct calcore_error *err);

/**
 * Linearity of `n` readings `y` at `x`, in any order, on the basis of a CALCORE_LINEARITY_ number; readings may be errors as
 * well. With the values of a curve as `x`: conformity. IEC 61298-2, ISA-51.1 (from memory).
 *
 * `span`: in the unit of `y`, for percentages; NaN for none. `u`: standard uncertainty of each reading, independent, or null.
 * `covariance`: n times n, row by row, instead of `u`, or null. `deviations`: room for `n` numbers, reading minus line, or
 * null. Set `found->size` first.
 *
 * Status: CALCORE_E_NOT_FINITE; CALCORE_E_TOO_FEW_POINTS for fewer than three different x (one for the unadjusted basis);
 * CALCORE_E_INVALID_VALUE unless the span is positive and no uncertainty negative; CALCORE_E_NOT_POSITIVE_DEFINITE;
 * CALCORE_E_OPTION for an unknown basis, or both `u` and `covariance`.
 */
calcore_status calcore_linearity(const double *x,
                                 const double *y,
                                 size_t n,
                                 int32_t basis,
                                 double span,
                                 const double *u,
                                 const double *covariance,
                                 double *deviations,
                                 struct calcore_linearity_result *found,
                                 struct calcore_error *err);

/**
 * Conformity of `n` signals of an element, read at temperatures (°C), to a curve. All else as calcore_linearity; deviations are
 * in the unit of the signal.
 *
 * Status: as calcore_linearity, and CALCORE_E_OUT_OF_RANGE for a temperature outside the range of the curve.
 */
calcore_status calcore_conformity_to_curve(const struct calcore_curve *curve,
                                           const double *t_c,
                                           const double *signal,
                                           size_t n,
                                           int32_t basis,
                                           double span,
                                           const double *u,
                                           const double *covariance,
                                           double *deviations,
                                           struct calcore_linearity_result *found,
                                           struct calcore_error *err);

/**
 * Figures over cycles: error curves, hysteresis, repeatability, linearity, measured accuracy. IEC 61298-2, ISA-51.1 (from
 * memory). Set `found->size` first; `curves` may be null.
 *
 * Status: CALCORE_E_TOO_FEW_POINTS without points or cycles; CALCORE_E_NOT_FINITE; CALCORE_E_INVALID_VALUE unless the span is
 * positive, and the dead band and uncertainties are not negative; CALCORE_E_NOT_POSITIVE_DEFINITE; CALCORE_E_OPTION for both `u`
 * and `covariance`; CALCORE_E_LENGTH_MISMATCH for a curve that the readings do not tell.
 */
calcore_status calcore_cycles_figures(const struct calcore_cycles *cycles,
                                      const struct calcore_cycle_curves *curves,
                                      struct calcore_cycle_figures *found,
                                      struct calcore_error *err);

/**
 * Errors, K, of the temperatures that an instrument shows, at `n` temperatures (°C) of the element; with a resolution the larger
 * one of the two at half a step.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE; CALCORE_E_INVALID_VALUE for a negative resolution or a reversed range of
 * the straight line; CALCORE_E_UNKNOWN_NAME for the unadjusted basis; CALCORE_E_OPTION.
 */
calcore_status calcore_choice_errors(const struct calcore_curve *element,
                                     const struct calcore_choice *choice,
                                     const double *t_c,
                                     size_t n,
                                     double *error_k,
                                     struct calcore_error *err);

/**
 * The largest error of a choice from `low_c` to `high_c`, proven by enclosing the curvature of the error and not sampled. Set
 * `found->size` first.
 *
 * Status: as calcore_choice_errors; CALCORE_E_UNDETERMINED where the slope of a curve vanishes in the range.
 */
calcore_status calcore_choice_largest_error(const struct calcore_curve *element,
                                            const struct calcore_choice *choice,
                                            double low_c,
                                            double high_c,
                                            struct calcore_largest_error *found,
                                            struct calcore_error *err);

/**
 * The best table of a curve from `low_c` to `high_c` for a number of segments, or the smallest one for an error.
 *
 * `*table` receives a handle that the caller releases by calcore_lookup_table_free.
 * Status: CALCORE_E_OUT_OF_RANGE and CALCORE_E_NOT_FINITE for the range; CALCORE_E_INVALID_VALUE where the signal turns inside
 * the range, for numbers that a format cannot hold, a number of segments that is not possible, and an error that no table
 * allowed keeps; CALCORE_E_UNDETERMINED for a curve without enclosures of its derivatives; CALCORE_E_OPTION.
 */
calcore_status calcore_lookup_table_new(const struct calcore_curve *curve,
                                        double low_c,
                                        double high_c,
                                        const struct calcore_lookup_table_options *options,
                                        struct calcore_lookup_table **table,
                                        struct calcore_error *err);

/**
 * Proven largest errors of the best tables of 1, 2, ... up to `n` segments (4096 at most); `segments` and `largest_error` of the
 * options must be 0.
 *
 * Status: as calcore_lookup_table_new.
 */
calcore_status calcore_lookup_table_error_by_segments(const struct calcore_curve *curve,
                                                      double low_c,
                                                      double high_c,
                                                      const struct calcore_lookup_table_options *options,
                                                      double *errors,
                                                      size_t n,
                                                      struct calcore_error *err);

/**
 * What is known of a table. Set `facts->size` first.
 */
calcore_status calcore_lookup_table_describe(const struct calcore_lookup_table *table,
                                             struct calcore_lookup_table_facts *facts,
                                             struct calcore_error *err);

/**
 * The numbers of a table, exactly as stored: between two nodes, with u = (x - x0)/(x1 - x0),
 * y = y0 + u (y1 - y0 + (1 - u)(bend + skew u)).
 *
 * `arguments`, ascending, and `values`: room for `nodes` numbers each, segments + 1; or null. `bends`: room for bend and skew of
 * every segment, 2 segments; null where the table has none.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH for another number of nodes, or `bends` of straight segments.
 */
calcore_status calcore_lookup_table_numbers(const struct calcore_lookup_table *table,
                                            double *arguments,
                                            double *values,
                                            size_t nodes,
                                            double *bends,
                                            struct calcore_error *err);

/**
 * The integers of a table of fixed-point numbers; arrays as for calcore_lookup_table_numbers.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH for another number of nodes, or `bends` of straight segments; CALCORE_E_OPTION for a table
 * without integers.
 */
calcore_status calcore_lookup_table_codes(const struct calcore_lookup_table *table,
                                          int64_t *arguments,
                                          int64_t *values,
                                          size_t nodes,
                                          int64_t *bends,
                                          struct calcore_error *err);

/**
 * What the firmware finds for `n` arguments: signals, or temperatures (°C), between the first and the last node.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_lookup_table_evaluate(const struct calcore_lookup_table *table,
                                             const double *x,
                                             size_t n,
                                             double *y,
                                             struct calcore_error *err);

/**
 * The integer that the firmware finds for the integer of a reading; beyond the nodes the nearer end answers.
 *
 * Status: CALCORE_E_OPTION for a table without integers.
 */
calcore_status calcore_lookup_table_evaluate_code(const struct calcore_lookup_table *table,
                                                  int64_t code,
                                                  int64_t *value,
                                                  struct calcore_error *err);

/**
 * Releases a table. Null is fine; a handle of another type is left alone.
 */
void calcore_lookup_table_free(struct calcore_lookup_table *table);

/**
 * The minimax polynomial or quotient of a curve from `low_c` to `high_c`, of given degrees or of the lowest degree for an error.
 *
 * `*found` receives a handle that the caller releases by calcore_minimax_free.
 * Status: CALCORE_E_OUT_OF_RANGE and CALCORE_E_NOT_FINITE for the range; CALCORE_E_INVALID_VALUE where the signal turns inside
 * the range, for a degree above 15, coefficients that a format cannot hold, an error that no degree keeps, and a quotient
 * that is not found without a zero of its denominator (the message says the nearest one that is); CALCORE_E_UNDETERMINED for a
 * curve without enclosures; CALCORE_E_NO_CONVERGENCE;
 * CALCORE_E_OPTION.
 */
calcore_status calcore_minimax_new(const struct calcore_curve *curve,
                                   double low_c,
                                   double high_c,
                                   const struct calcore_minimax_options *options,
                                   struct calcore_minimax **found,
                                   struct calcore_error *err);

/**
 * What is known of an approximation. Set `facts->size` first.
 */
calcore_status calcore_minimax_describe(const struct calcore_minimax *found,
                                        struct calcore_minimax_facts *facts,
                                        struct calcore_error *err);

/**
 * The coefficients of 1, z, z^2, ... exactly as stored, z = (x - centre) scale: the value is numerator over denominator.
 *
 * `numerator` and `denominator`: room for as many as calcore_minimax_describe says, or null.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_minimax_coefficients(const struct calcore_minimax *found,
                                            double *numerator,
                                            size_t numerators,
                                            double *denominator,
                                            size_t denominators,
                                            struct calcore_error *err);

/**
 * The integers of fixed-point coefficients; arrays as for calcore_minimax_coefficients.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH; CALCORE_E_OPTION for coefficients that are not fixed-point.
 */
calcore_status calcore_minimax_codes(const struct calcore_minimax *found,
                                     int64_t *numerator,
                                     size_t numerators,
                                     int64_t *denominator,
                                     size_t denominators,
                                     struct calcore_error *err);

/**
 * The extremes of the error before coefficients are rounded, of alternating sign: what the best approximation is known by.
 *
 * `x`, `errors`: room for `n` numbers each, as many as calcore_minimax_describe says, or null.
 *
 * Status: CALCORE_E_LENGTH_MISMATCH.
 */
calcore_status calcore_minimax_extremes(const struct calcore_minimax *found,
                                        double *x,
                                        double *errors,
                                        size_t n,
                                        struct calcore_error *err);

/**
 * What the firmware finds for `n` arguments: signals, or temperatures (°C), in the range.
 *
 * Status: CALCORE_E_NOT_FINITE, CALCORE_E_OUT_OF_RANGE.
 */
calcore_status calcore_minimax_evaluate(const struct calcore_minimax *found,
                                        const double *x,
                                        size_t n,
                                        double *y,
                                        struct calcore_error *err);

/**
 * The integer that the firmware finds for the integer of a reading; beyond the range the nearer end answers.
 *
 * Status: CALCORE_E_OPTION for coefficients that are not fixed-point.
 */
calcore_status calcore_minimax_evaluate_code(const struct calcore_minimax *found,
                                             int64_t code,
                                             int64_t *value,
                                             struct calcore_error *err);

/**
 * Releases an approximation. Null is fine; a handle of another type is left alone.
 */
void calcore_minimax_free(struct calcore_minimax *found);

/**
 * A table as plain C99: what belongs into NAME.h and NAME.c. One function `name` turns the argument into the value with the
 * bits of calcore_lookup_table_evaluate; it needs no mathematics library.
 *
 * `*header` and `*source` receive handles that the caller releases by calcore_text_free.
 * Status: CALCORE_E_UNKNOWN_NAME unless the name is a letter, then letters, digits and underscores, all lower-case, 31 at most.
 */
calcore_status calcore_lookup_table_to_c99(const struct calcore_lookup_table *table,
                                           const char *name,
                                           struct calcore_text **header,
                                           struct calcore_text **source,
                                           struct calcore_error *err);

/**
 * A table as JSON: kind, version of the library, and all that is known of it. `*text` receives a handle that the caller
 * releases by calcore_text_free.
 */
calcore_status calcore_lookup_table_to_json(const struct calcore_lookup_table *table,
                                            struct calcore_text **text,
                                            struct calcore_error *err);

/**
 * The nodes of a table as rows of numbers with a heading: argument,value, with bend,skew of the segment that begins there and,
 * for fixed-point numbers, the integers. `*text` receives a handle that the caller releases by calcore_text_free.
 */
calcore_status calcore_lookup_table_to_csv(const struct calcore_lookup_table *table,
                                           struct calcore_text **text,
                                           struct calcore_error *err);

/**
 * A polynomial or quotient as plain C99, with the bits of calcore_minimax_evaluate; all else as calcore_lookup_table_to_c99.
 *
 * Status: as calcore_lookup_table_to_c99.
 */
calcore_status calcore_minimax_to_c99(const struct calcore_minimax *found,
                                      const char *name,
                                      struct calcore_text **header,
                                      struct calcore_text **source,
                                      struct calcore_error *err);

/**
 * A polynomial or quotient as JSON; all else as calcore_lookup_table_to_json.
 */
calcore_status calcore_minimax_to_json(const struct calcore_minimax *found,
                                       struct calcore_text **text,
                                       struct calcore_error *err);

/**
 * The coefficients by their power, as rows of numbers with a heading; all else as calcore_lookup_table_to_csv.
 */
calcore_status calcore_minimax_to_csv(const struct calcore_minimax *found,
                                      struct calcore_text **text,
                                      struct calcore_error *err);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* CALCORE_H */
