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
 * Threads. No function keeps any state between calls. A handle does not change once it is made: any number of threads
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
 * Construction of a platinum thermometer: wire-wound.
 */
#define CALCORE_WIRE_WOUND 0

/**
 * Construction of a platinum thermometer: film on a ceramic body.
 */
#define CALCORE_FILM 1

/**
 * A platinum resistance thermometer by the Callendar-Van Dusen equation:
 * R(t) = R0 (1 + A t + B t^2 + C (t - 100) t^3), with C = 0 for t >= 0. IEC 60751:2022, clause 4.
 *
 * Immutable once made; any number of threads may use it at once. Released by calcore_cvd_free.
 */
typedef struct calcore_cvd calcore_cvd;

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

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* CALCORE_H */
