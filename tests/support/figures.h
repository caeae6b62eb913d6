/* Figures that a script computes when a test runs: lines "name,at,value". The including file asks for POSIX
 * (popen) before its first #include. */
#ifndef THAW_TESTS_FIGURES_H
#define THAW_TESTS_FIGURES_H

#include <stdio.h>

#include "check.h"

#define MOST_FIGURES 256

typedef struct figure {
    char name[40];
    double at, value;
} figure;

typedef struct figures {
    figure rows[MOST_FIGURES];
    int n;
} figures;

static inline void figures_run(const char *script, figures *f)
{
    char command[1024], line[256];
    snprintf(command, sizeof command, "/usr/bin/python3 " THAW_SOURCE_DIR "/tests/outside/%s", script);
    FILE *pipe = popen(command, "r");
    assert_non_null(pipe);
    f->n = 0;
    while (f->n < MOST_FIGURES && fgets(line, sizeof line, pipe)) {
        figure *row = &f->rows[f->n];
        f->n += sscanf(line, "%39[^,],%lf,%lf", row->name, &row->at, &row->value) == 3;
    }
    assert_int_equal(pclose(pipe), 0);
    assert_true(f->n > 0 && f->n < MOST_FIGURES);
}

/* The figure of that name at `at`, give or take 0.02: water at 0 C is that at 0.01 C. */
static inline double figures_at(const figures *f, const char *name, double at)
{
    for (int i = 0; i < f->n; i++) {
        if (strcmp(f->rows[i].name, name) == 0 && fabs(f->rows[i].at - at) < 0.02) {
            return f->rows[i].value;
        }
    }
    print_error("the script gave no %s at %g\n", name, at);
    fail();
    return 0.0;
}

#endif
