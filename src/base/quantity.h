/* Quantities as people write them, "1.5 yd": strictly a number, a space if wanted, a unit.
 * UDUNITS-2 knows the units; a short table adds what the workroom says otherwise (oz, momme). */
#ifndef THAW_BASE_QUANTITY_H
#define THAW_BASE_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "thawprint/status.h"

typedef enum thaw_quantity {
    THAW_LENGTH,        /* m */
    THAW_MASS,          /* kg */
    THAW_TIME,          /* s */
    THAW_TEMPERATURE,   /* K */
    THAW_SPEED,         /* m/s */
    THAW_CONCENTRATION, /* kg/m3 */
    THAW_AREAL_MASS,    /* kg/m2 */
    THAW_SHARE,         /* 1 */
    THAW_DIFFUSIVITY,   /* m2/s */
    THAW_SORPTION,      /* m3/kg */
    THAW_RATE,          /* 1/s */
    THAW_MOLAR_ENERGY,  /* J/mol */
    THAW_VOLUME,        /* m3 */
    THAW_ANGLE,         /* degree */
    THAW_QUANTITY_KINDS
} thaw_quantity;

/* The unit system; not for use from several threads at a time. */
typedef struct thaw_units thaw_units;
thaw_status thaw_units_create(thaw_units **out, thaw_error *err);
void thaw_units_destroy(thaw_units *units);

/* The SI value of `text`, or false and in `why` what is wrong and what would be right. *si is
 * untouched on failure. */
bool thaw_quantity_parse(const thaw_units *units, thaw_quantity kind, const char *text, double *si,
                         char *why, size_t why_size);

/* Text that parses to exactly the same double, in a handy unit where one can say it shortly. */
void thaw_quantity_print(const thaw_units *units, thaw_quantity kind, double si, char *out,
                         size_t size);
/* Text for people, at most 6 digits. */
void thaw_quantity_show(const thaw_units *units, thaw_quantity kind, double si, char *out,
                        size_t size);

/* Strict decimal number (no hexadecimal, no NaN, no infinity). Returns what follows the number, or
 * NULL with a reason in `why`. Overflow gives HUGE_VAL, which is for the caller to refuse. */
const char *thaw_number_parse(const char *text, double *value, char *why, size_t why_size);

#endif
