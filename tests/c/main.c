/* The tests of the C face: main REFERENCE_DIRECTORY. Prints the failed checks and the counts. */
#include "check.h"

#include <stdio.h>

int main(int argc, char **argv)
{
    if (argc != 2) {
        fprintf(stderr, "usage: %s REFERENCE_DIRECTORY\n", argv[0]);
        return 2;
    }
    test_border();
    test_curves(argv[1]);
    printf("%ld passed, %ld failed\n", check_passed, check_failed);
    return check_failed == 0 && check_passed > 0 ? 0 : 1;
}
