/* The tests of the C face: main REFERENCE_DIRECTORY [PARITY_FILE...]. Prints the failed checks and the counts. */
#include "check.h"

#include <stdio.h>

int main(int argc, char **argv)
{
    int i;
    if (argc < 2) {
        fprintf(stderr, "usage: %s REFERENCE_DIRECTORY [PARITY_FILE...]\n", argv[0]);
        return 2;
    }
    test_border();
    test_temperature();
    test_curves(argv[1]);
    test_circuit();
    test_tolerance(argv[1]);
    for (i = 2; i < argc; i++) {
        test_parity(argv[i]);
    }
    printf("%ld passed, %ld failed\n", check_passed, check_failed);
    return check_failed == 0 && check_passed > 0 ? 0 : 1;
}
