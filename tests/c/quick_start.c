#include "calcore.h"

#include <stdio.h>

int main(void)
{
    char text[200];
    calcore_error err = {0};
    calcore_cvd *pt100 = NULL;
    double t_c = 0.0;

    err.size = sizeof err;
    err.message = text;
    err.message_cap = sizeof text;
    if (calcore_cvd_iec60751(100.0, &pt100, &err) != CALCORE_OK
        || calcore_cvd_temperature(pt100, 138.5055, &t_c, &err) != CALCORE_OK) {
        fprintf(stderr, "%s\n", text);
        return 1;
    }
    printf("138.5055 ohm is %.4f degC\n", t_c); /* 100.0000 */
    if (calcore_cvd_temperature(pt100, 500.0, &t_c, &err) != CALCORE_OK) {
        printf("status %d: %s\n", (int)err.code, text); /* resistance 500 ohm is outside 18.52... to 390.4... ohm */
    }
    calcore_cvd_free(pt100);
    return 0;
}
