/* Checks against the world outside. Each writes a row of the table in docs/accuracy.md:
 * what was checked, whose figure it is, the figure, ours, and how far apart they may be. */
#ifndef THAW_TESTS_OUTSIDE_H
#define THAW_TESTS_OUTSIDE_H

#include <stdlib.h>

#include "check.h"

#define PLENTY      128            /* room for a figure with its unit */
#define NO_SOURCE   "common practice, no source"
#define FROM_MEMORY "from memory"

/* Name of the test that runs, when ctest runs it alone; rows go to a file of that name. */
static const char *outside_test;

/* pass: 1 yes, 0 no, -1 for a figure that is told and not asserted. */
static inline void outside_row(const char *check, const char *source, const char *expected, const char *ours,
                               const char *tolerance, int pass)
{
    const char *folder = getenv("THAW_ROWS");
    printf("%s: expected %s, ours %s, tolerance %s (%s)\n", check, expected, ours, tolerance, source);
    if (!folder || !outside_test) {
        return;
    }
    char path[4096];
    snprintf(path, sizeof path, "%s/%s.row", folder, outside_test);
    FILE *file = fopen(path, "a");
    assert_non_null(file);
    fprintf(file, "| %s | %s | %s | %s | %s | %s |\n", check, source, expected, ours, tolerance,
            pass < 0 ? "-" : pass ? "yes" : "NO");
    fclose(file);
}

/* `digits` of a figure, without an exponent where it is large, and its unit. */
static inline void outside_figure(char out[PLENTY], int digits, double value, const char *unit)
{
    const char *gap = *unit ? " " : "";
    if (fabs(value) >= pow(10.0, digits)) {
        snprintf(out, PLENTY, "%.0f%s%s", value, gap, unit);
    } else {
        snprintf(out, PLENTY, "%.*g%s%s", digits, value, gap, unit);
    }
}

/* Ours as far as a tenth of the tolerance and no further: what is finer may be another digit on another machine. */
static inline void outside_ours(char out[PLENTY], double value, const char *unit, double tolerance)
{
    const int decimals = tolerance > 0.0 ? (int)fmax(0.0, ceil(-log10(tolerance))) : 0;
    const double scale = pow(10.0, decimals), told = round(value * scale) / scale + 0.0;
    if (fabs(told) * scale >= 1e4 || told == 0.0 || !(tolerance > 0.0)) {
        outside_figure(out, 4, tolerance > 0.0 && told == 0.0 ? 0.0 : value, unit);
    } else {
        snprintf(out, PLENTY, "%.*f%s%s", decimals, told, *unit ? " " : "", unit);
    }
}

/* |ours - expected| <= tolerance, all in `unit`. */
static inline void outside_close(const char *check, const char *source, const char *unit, double expected,
                                 double ours, double tolerance)
{
    char e[PLENTY], o[PLENTY], t[PLENTY];
    int pass = fabs(ours - expected) <= tolerance;
    outside_figure(e, 4, expected, unit);
    outside_ours(o, ours, unit, tolerance);
    outside_figure(t, 2, tolerance, unit);
    outside_row(check, source, e, o, t, pass);
    assert_close(ours, expected, tolerance);
}

static inline void outside_range(const char *check, const char *source, const char *unit, double low, double high,
                                 double ours, int digits)
{
    char l[PLENTY], h[PLENTY], o[PLENTY], e[2 * PLENTY + 8];
    int pass = ours >= low && ours <= high;
    outside_figure(l, 4, low, "");
    outside_figure(h, 4, high, unit);
    outside_figure(o, digits, ours, unit);
    snprintf(e, sizeof e, "%s to %s", l, h);
    outside_row(check, source, e, o, "in the range", pass);
    assert_at_most(low, ours);
    assert_at_most(ours, high);
}

/* low <= ours <= high. */
static inline void outside_within(const char *check, const char *source, const char *unit, double low, double high,
                                  double ours)
{
    outside_range(check, source, unit, low, high, ours, 3);
}

/* The same for a whole run: crumpled cloth makes 1 % of a last digit, so that machines differ by as much. */
static inline void outside_roughly(const char *check, const char *source, const char *unit, double low, double high,
                                   double ours)
{
    outside_range(check, source, unit, low, high, ours, 1);
}

/* An error (absolute or relative, as `check` says) of at most `limit`. Errors of the size of rounding are
 * not told by their digits. */
static inline void outside_error(const char *check, const char *source, double error, double limit)
{
    char o[64], t[64];
    const double told = fmin(1e-6, limit);
    if (error < told) {
        snprintf(o, sizeof o, "below %.0e", told);
    } else {
        snprintf(o, sizeof o, "%.2g", error);
    }
    snprintf(t, sizeof t, "%.2g", limit);
    outside_row(check, source, "error 0", o, t, error <= limit);
    assert_at_most(error, limit);
}

/* The same for an error that step control stirs: told as below the next of 1, 2, 5 times a power of ten. */
static inline void outside_error_below(const char *check, const char *source, double error, double limit)
{
    static const double steps[] = {1.0, 2.0, 5.0, 10.0};
    const double ten = pow(10.0, floor(log10(fmax(error, 1e-6))));
    char o[64], t[64];
    int i = 0;
    while (i < 3 && error > steps[i] * ten) {
        i++;
    }
    snprintf(o, sizeof o, "below %.0g", steps[i] * ten);
    snprintf(t, sizeof t, "%.2g", limit);
    outside_row(check, source, "error 0", o, t, error <= limit);
    assert_at_most(error, limit);
}

/* An observed order of convergence; the test asserts it. */
static inline void outside_order(const char *check, const char *solution, double expected, double least, double ours)
{
    char e[PLENTY], o[PLENTY], t[PLENTY];
    snprintf(e, sizeof e, "order %.0f", expected);
    snprintf(o, sizeof o, "%.1f", ours);
    snprintf(t, sizeof t, "at least %.1f", least);
    outside_row(check, solution, e, o, t, ours >= least);
    assert_at_most(least, ours);
}

/* Runs all tests, or the one named by the first argument. */
#define outside_main(tests, argc, argv)                                                            \
    (outside_begin(argc, argv), cmocka_run_group_tests(tests, NULL, NULL))

static inline void outside_begin(int argc, char **argv)
{
    if (argc > 1) {
        outside_test = argv[1];
        cmocka_set_test_filter(argv[1]);
        const char *folder = getenv("THAW_ROWS");
        if (folder) {
            char path[4096];
            snprintf(path, sizeof path, "%s/%s.row", folder, outside_test);
            remove(path);
        }
    }
}

#endif
