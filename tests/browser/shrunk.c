/* Writes a shipped scenario at small size, draft cells, and no longer than so many hours, as a scenario file:
 * shrunk NAME FACTOR HOURS FILE. */
#include "small.h"

#include <math.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    thaw_error err = {0};
    char *text = NULL;
    if (argc != 5) {
        fprintf(stderr, "usage: shrunk NAME FACTOR HOURS FILE\n");
        return 2;
    }
    thaw_scenario *scenario = small_scenario(argv[1], strtod(argv[2], NULL));
    for (int f = 0; f < scenario->spec.n_folds; f++) { /* a knot wants its share of cloth */
        thaw_fold *fold = &scenario->spec.folds[f];
        fold->size_m = fold->kind == THAW_FOLD_KNOT ? fmax(0.05, strtod(argv[2], NULL) * fold->size_m) : fold->size_m;
    }
    scenario->spec.leave_s = fmin(scenario->spec.leave_s, 3600.0 * strtod(argv[3], NULL));
    FILE *file = fopen(argv[4], "w");
    if (!file || thaw_scenario_resolved(scenario, &text, &err) != THAW_OK || fputs(text, file) == EOF || fclose(file) != 0) {
        fprintf(stderr, "shrunk: %s: cannot be written\n", argv[4]);
        return 1;
    }
    thaw_text_free(text);
    thaw_scenario_destroy(scenario);
    return 0;
}
