/* The file of a strip test: lines of time and height, their units in the heading. */
#ifndef THAW_SCENARIO_STRIP_READINGS_H
#define THAW_SCENARIO_STRIP_READINGS_H

#include <stddef.h>

#include "thawprint/status.h"

#define THAW_STRIP_MOST 200

typedef struct thaw_strip_readings {
    int n;
    double t_s[THAW_STRIP_MOST], height_m[THAW_STRIP_MOST];
} thaw_strip_readings;

/* Text of n bytes with a NUL behind. Blank lines and what follows # are passed over; the first line that is left
 * names the two columns and their units: `time (min), height (mm)`, in either order; columns are parted by commas,
 * semicolons or tabs. All faults together in err (THAW_ERR_SCENARIO); *out untouched on failure. */
thaw_status thaw_strip_readings_parse(const char *text, size_t n, const char *path, thaw_strip_readings *out,
                                      thaw_error *err);

#endif
