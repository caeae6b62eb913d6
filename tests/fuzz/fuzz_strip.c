/* Any bytes as the readings of a strip test: faults with a reason, or times and heights that can be. */
#include "fuzz.h"

#include <math.h>

#include "scenario/strip_readings.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = as_text(data, size);
    thaw_error err = {0};
    thaw_strip_readings readings = {.n = -1};
    const thaw_status status = thaw_strip_readings_parse(text, size, "fuzz.csv", &readings, &err);
    if (status != THAW_OK) {
        demand_reason(status, &err);
        demand(status == THAW_ERR_SCENARIO, "bad bytes are the fault of the file", err.text);
        demand(readings.n == -1, "outputs are untouched on failure", NULL);
    } else {
        demand(readings.n >= 2 && readings.n <= THAW_STRIP_MOST, "there are readings", NULL);
        for (int i = 0; i < readings.n; i++) {
            demand(isfinite(readings.t_s[i]) && readings.t_s[i] > 0.0, "times are above nought", NULL);
            demand(isfinite(readings.height_m[i]) && readings.height_m[i] >= 0.0, "heights are numbers", NULL);
            for (int k = 0; k < i; k++) {
                const int later = readings.t_s[i] > readings.t_s[k];
                demand(!later || readings.height_m[i] > 0.8 * readings.height_m[k], "wet cloth stays wet", NULL);
            }
        }
    }
    free(text);
    return 0;
}
