/* A comparison as JSON, for scripts. */
#ifndef THAW_OUTPUT_COMPARE_JSON_H
#define THAW_OUTPUT_COMPARE_JSON_H

#include "thawprint/compare.h"

typedef struct thaw_compare_table {
    const char *version;
    int n;                         /* that are compared */
    const char *const *labels, *const *digests;
    const thaw_chances_figures *const *figures;
    const thaw_compared_number *numbers; /* n rows of n_numbers */
} thaw_compare_table;

/* The caller frees *out with thaw_release; untouched on failure. */
thaw_status thaw_compare_json(const thaw_compare_table *table, char **out, thaw_error *err);

#endif
