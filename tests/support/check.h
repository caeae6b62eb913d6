/* cmocka with what it lacks: a comparison of doubles that prints both. */
#ifndef THAW_TESTS_CHECK_H
#define THAW_TESTS_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#define assert_close(actual, expected, tolerance)                                                  \
    check_close((actual), (expected), (tolerance), #actual, __FILE__, __LINE__)

static inline void check_close(double actual, double expected, double tolerance, const char *what,
                               const char *file, int line)
{
    if (!(fabs(actual - expected) <= tolerance)) {
        print_error("%s = %.12g, expected %.12g within %.3g\n", what, actual, expected, tolerance);
        _fail(file, line);
    }
}

/* actual <= limit, and not NaN. */
#define assert_at_most(actual, limit)                                                              \
    check_at_most((actual), (limit), #actual, __FILE__, __LINE__)

static inline void check_at_most(double actual, double limit, const char *what, const char *file, int line)
{
    if (!(actual <= limit)) {
        print_error("%s = %.12g is above %.12g\n", what, actual, limit);
        _fail(file, line);
    }
}

#endif
