/* Scenarios side by side: the same throws of the dice for each, so that differences come from the choice. */
#ifndef THAWPRINT_COMPARE_H
#define THAWPRINT_COMPARE_H

#include <stdbool.h>

#include "thawprint/chances.h"

#define THAW_COMPARE_MOST 36

typedef struct thaw_comparison thaw_comparison;

/* One of those that are compared. */
typedef struct thaw_compared {
    const char *label;             /* what differs: "ice.kind = cubes", or the title */
    const thaw_scenario *scenario;
} thaw_compared;

typedef struct thaw_compare_options {
    thaw_chances_options set;      /* n, only_luck, threads, progress, user; no part */
    int n_columns;                 /* of the sheet; 0: as fits */
} thaw_compare_options;

/* Against the first, over pairs of the same chance. */
typedef struct thaw_compared_number {
    double p10, p50, p90;          /* in the unit */
    double difference;             /* median of the differences to the first, in the unit; NaN: none; infinite: of time beyond the rinse */
    double p;                      /* chance that luck alone gives so much */
    bool is_clear;                 /* Holm at 5 % over all numbers and all that are compared */
} thaw_compared_number;

/* Run what is missing of every set into `dir`/1, `dir`/2 ... and compare. All use the seed of the first. The caller
 * destroys *out. On failure finished members stay, and the same call goes on. */
thaw_status thaw_compare_run(const thaw_compared *all, int n, const thaw_compare_options *options, const char *dir,
                             thaw_comparison **out, thaw_error *err);
void thaw_comparison_destroy(thaw_comparison *comparison);

int thaw_comparison_count(const thaw_comparison *comparison);
const char *thaw_comparison_label(const thaw_comparison *comparison, int i);
const thaw_chances_figures *thaw_comparison_figures(const thaw_comparison *comparison, int i);
thaw_compared_number thaw_comparison_number(const thaw_comparison *comparison, int i, int number);
/* Its median with the unit: "12.3 mm", "after the rinse" where infinite, "-" where NaN. Writes to `out` and returns it. */
const char *thaw_comparison_say(const thaw_comparison *comparison, int i, int number, char *out, size_t size);

/* compare.png, compare.pdf (prints on A4 and Letter) and compare.json, all or none; then the members go. */
thaw_status thaw_comparison_write(const thaw_comparison *comparison, const char *dir, thaw_error *err);
/* compare.json as text; caller frees with thaw_text_free. */
thaw_status thaw_comparison_json(const thaw_comparison *comparison, char **out, thaw_error *err);

#endif
