/* Size, memory and time of a run before it is made. */
#ifndef THAW_SCENARIO_ESTIMATE_H
#define THAW_SCENARIO_ESTIMATE_H

#include <stdbool.h>
#include <stddef.h>

#include "model/specification.h"

typedef struct thaw_estimate {
    double nx, ny, cells;
    int components; /* different dyes in the mixtures */
    double bytes;
    double seconds; /* on one thread */
} thaw_estimate;

thaw_estimate thaw_estimate_run(const thaw_specification *spec);
/* False and a sentence in `why` if the run is too large for thawprint or for the memory there is
 * (`available` bytes, 0 if unknown). */
bool thaw_estimate_fits(const thaw_estimate *estimate, double available, char *why, size_t size);

#endif
