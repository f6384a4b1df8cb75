/* The tests of the C face: main REFERENCE_DIRECTORY RUN RESULT [PARITY_FILE...]. Prints the failed checks and the counts. */
/* Twice: the guard of the header. */
#include "calcore.h"
#include "calcore.h"
#include "check.h"

#include <stdio.h>

int main(int argc, char **argv)
{
    int i;
    if (argc < 4) {
        fprintf(stderr, "usage: %s REFERENCE_DIRECTORY RUN RESULT [PARITY_FILE...]\n", argv[0]);
        return 2;
    }
    test_border();
    test_temperature();
    test_curves(argv[1]);
    test_sensor_curves(argv[1]);
    test_thermocouple(argv[1]);
    test_its90(argv[1]);
    test_curve_numbers(argv[1]);
    test_circuit();
    test_effects(argv[1]);
    test_tolerance(argv[1]);
    test_fit(argv[1]);
    test_fit_use(argv[1]);
    test_fit_plan();
    test_uncertainty(argv[1]);
    test_measurement_model();
    test_monte_carlo();
    test_named_budget(argv[2]);
    test_decision(argv[1]);
    test_ready_made(argv[1]);
    test_settling();
    test_settled();
    test_loop_calibration(argv[1], argv[2], argv[3]);
    test_loop_job(argv[2]);
    test_loop_results(argv[2]);
    test_schema(argv[1]);
    test_ten_mistakes(argv[2]);
    test_linearization();
    test_lookup_tables(argv[1]);
    test_minimax(argv[1]);
    test_hostile(argv[2]);
    for (i = 4; i < argc; i++) {
        test_parity(argv[i]);
    }
    printf("%ld passed, %ld failed\n", check_passed, check_failed);
    return check_failed == 0 && check_passed > 0 ? 0 : 1;
}
