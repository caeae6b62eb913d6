#include "base/quantity.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <udunits2.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/unit_hint.h"
#include "base/words.h"

#define LONGEST_UNIT 64
#define HANDY_UNITS  3

/* One row a kind: its SI unit, what it is called, an example, and handy units for printing. */
static const struct kind_row {
    const char *si;
    const char *called;
    const char *example;
    const char *handy[HANDY_UNITS];
} KINDS[THAW_QUANTITY_KINDS] = {
    [THAW_LENGTH] = {"m", "a length", "45 cm` or `18 in", {"cm", "mm", "m"}},
    [THAW_MASS] = {"kg", "a mass", "250 g`, `2 kg` or `9 lb", {"g", "kg", NULL}},
    [THAW_TIME] = {"s", "a time", "24 h` or `90 min", {"h", "min", "s"}},
    [THAW_TEMPERATURE] = {"K", "a temperature", "20 degC` or `68 degF", {"degC", "K", NULL}},
    [THAW_SPEED] = {"m/s", "a speed", "0.1 m/s", {"m/s", NULL, NULL}},
    [THAW_CONCENTRATION] = {"kg/m3", "a mass in a volume", "40 g/L` or `5 oz/gal", {"g/L", "kg/m3", NULL}},
    [THAW_AREAL_MASS] = {"kg/m2", "a mass per area", "250 g/m2` or `5 oz/yd2", {"g/m2", "kg/m2", NULL}},
    [THAW_SHARE] = {"kg/kg", "a share", "50 %", {"%", "kg/kg", NULL}},
    [THAW_DIFFUSIVITY] = {"m2/s", "a diffusivity", "3e-10 m2/s", {"m2/s", NULL, NULL}},
    [THAW_SORPTION] = {"m3/kg", "a volume of liquor per mass of fibre", "10 L/kg", {"L/kg", "m3/kg", NULL}},
    [THAW_RATE] = {"s-1", "a rate", "40 %/h", {"%/h", "s-1", NULL}},
    [THAW_MOLAR_ENERGY] = {"J/mol", "an energy per mole", "84 kJ/mol", {"kJ/mol", "J/mol", NULL}},
    [THAW_VOLUME] = {"m3", "a volume", "100 mL` or `4 fl oz", {"mL", "L", "m3"}},
    [THAW_ANGLE] = {"degree", "an angle", "45 deg", {"degree", NULL, NULL}},
};

/* Words that UDUNITS-2 lacks or takes for something else (its oz is a volume, its avoirdupois
 * ounce is rounded, its gal an acceleration, its mph a photometric unit). The pound is
 * 0.45359237 kg by definition and the ounce 1/16 of it; the momme by weighing silk, 4.340 g/m2. */
static const struct spelling {
    const char *word, *means;
} SPELLINGS[] = {
    {"oz", "(28.349523125 g)"},
    {"ounce", "(28.349523125 g)"},
    {"ounces", "(28.349523125 g)"},
    {"momme", "(4.340 g m-2)"},
    {"lbs", "lb"},
    {"hrs", "h"},
    {"hr", "h"},
    {"mins", "min"},
    {"mph", "(0.44704 m/s)"},
    {"gal", "US_liquid_gallon"},
    {"qt", "US_liquid_quart"},
    {"floz", "US_liquid_ounce"},
    {"wk", "week"},
    {"deg", "degree"},
};

struct thaw_units {
    ut_system *system;
    cv_converter *to_si[THAW_QUANTITY_KINDS][HANDY_UNITS];
    cv_converter *from_si[THAW_QUANTITY_KINDS][HANDY_UNITS];
};

static bool prepare_handy(thaw_units *units, int kind)
{
    ut_unit *si = ut_parse(units->system, KINDS[kind].si, UT_UTF8);
    bool fine = si != NULL;
    for (int h = 0; h < HANDY_UNITS && fine && KINDS[kind].handy[h]; h++) {
        ut_unit *unit = ut_parse(units->system, KINDS[kind].handy[h], UT_UTF8);
        units->to_si[kind][h] = unit ? ut_get_converter(unit, si) : NULL;
        units->from_si[kind][h] = unit ? ut_get_converter(si, unit) : NULL;
        fine = units->to_si[kind][h] && units->from_si[kind][h];
        ut_free(unit);
    }
    ut_free(si);
    return fine;
}

thaw_status thaw_units_create(thaw_units **out, thaw_error *err)
{
    thaw_units *units = thaw_allocate(1, sizeof *units, err);
    if (!units) {
        return THAW_ERR_MEMORY;
    }
    ut_set_error_message_handler(ut_ignore);
    units->system = ut_read_xml(NULL);
    bool fine = units->system != NULL;
    for (int kind = 0; kind < THAW_QUANTITY_KINDS && fine; kind++) {
        fine = prepare_handy(units, kind);
    }
    if (!fine) {
        thaw_units_destroy(units);
        return thaw_fail(err, THAW_ERR_FILE, "the table of units of UDUNITS-2 cannot be read");
    }
    *out = units;
    return THAW_OK;
}

void thaw_units_destroy(thaw_units *units)
{
    if (!units) {
        return;
    }
    for (int kind = 0; kind < THAW_QUANTITY_KINDS; kind++) {
        for (int h = 0; h < HANDY_UNITS; h++) {
            cv_free(units->to_si[kind][h]);
            cv_free(units->from_si[kind][h]);
        }
    }
    ut_free_system(units->system);
    thaw_release(units);
}

static const char *skip_digits(const char *at)
{
    while (isdigit((unsigned char)*at)) {
        at++;
    }
    return at;
}

/* The end of a decimal number at `text`, or `text` if there is none. */
static const char *number_end(const char *text)
{
    const char *at = text + (*text == '+' || *text == '-');
    const char *whole = skip_digits(at);
    const char *end = *whole == '.' ? skip_digits(whole + 1) : whole;
    if (end == at || (end == at + 1 && *at == '.')) {
        return text;
    }
    if (*end == 'e' || *end == 'E') {
        const char *power = end + 1 + (end[1] == '+' || end[1] == '-');
        const char *power_end = skip_digits(power);
        return power_end > power ? power_end : end;
    }
    return end;
}

static bool starts_like(const char *text, const char *word)
{
    text += *text == '+' || *text == '-' || *text == '.';
    for (; *word; word++, text++) {
        if (tolower((unsigned char)*text) != *word) {
            return false;
        }
    }
    return !isalpha((unsigned char)*text) || starts_like(text, "inity");
}

const char *thaw_number_parse(const char *text, double *value, char *why, size_t why_size)
{
    const char *end = number_end(text);
    if (starts_like(text, "nan") || starts_like(text, "inf")) {
        snprintf(why, why_size, "`%.60s` is not a finite number", text);
        return NULL;
    }
    if (end == text) {
        snprintf(why, why_size, "`%.60s` does not start with a number", text);
        return NULL;
    }
    if (*end == ',') {
        snprintf(why, why_size, "`%.60s` has a comma: decimals are written with a point", text);
        return NULL;
    }
    *value = strtod(text, NULL);
    return end;
}

/* Only signs that units are made of, and a digit only as the power of a letter before it: so
 * "5 cm 3" is not taken for cubic centimetres nor "3 m @ 2" for a shifted scale. */
static bool looks_like_unit(const char *unit)
{
    for (const char *at = unit; *at; at++) {
        unsigned char c = (unsigned char)*at;
        bool power =
            at > unit && (isalnum((unsigned char)at[-1]) || at[-1] == '^' ||
                          (at[-1] == '-' && at > unit + 1 && isalpha((unsigned char)at[-2])));
        bool minus = c == '-' && at > unit && isalpha((unsigned char)at[-1]) &&
                     isdigit((unsigned char)at[1]);
        if (!(isalpha(c) || c >= 0x80 || strchr(" ./%^*_", c) || (isdigit(c) && power) || minus)) {
            return false;
        }
    }
    return true;
}

static const char *spelling_of(const char *word, size_t n)
{
    for (size_t i = 0; i < sizeof SPELLINGS / sizeof SPELLINGS[0]; i++) {
        if (strlen(SPELLINGS[i].word) == n && memcmp(SPELLINGS[i].word, word, n) == 0) {
            return SPELLINGS[i].means;
        }
    }
    return NULL;
}

/* `unit` with our spellings replaced word by word; false if it grows too long. */
static bool respell(const char *unit, char *out, size_t size)
{
    size_t used = 0;
    while (*unit) {
        size_t n = 0;
        const char *put = unit;
        while (isalpha((unsigned char)unit[n]) || unit[n] == '_') {
            n++;
        }
        size_t eaten = n > 0 ? n : 1, length = eaten;
        bool fluid = strncmp(unit, "fl oz", 5) == 0 || strncmp(unit, "fl. oz", 6) == 0;
        const char *means = fluid ? "US_liquid_ounce" : n > 0 ? spelling_of(unit, n) : NULL;
        if (means) {
            put = means;
            length = strlen(means);
            eaten = fluid ? (unit[2] == '.' ? 6 : 5) : n;
        }
        if (used + length >= size) {
            return false;
        }
        memcpy(out + used, put, length);
        used += length;
        unit += eaten;
    }
    out[used] = '\0';
    return true;
}

static ut_unit *find_unit(const thaw_units *units, const char *text)
{
    char spelled[4 * LONGEST_UNIT];
    if (strlen(text) >= LONGEST_UNIT || !looks_like_unit(text) ||
        !respell(text, spelled, sizeof spelled)) {
        return NULL;
    }
    return ut_parse(units->system, spelled, UT_UTF8);
}

/* An angle is dimensionless to UDUNITS-2; a share of something is a percentage or a ratio. */
static bool is_plain_share(const char *unit)
{
    return strcmp(unit, "%") == 0 || strcmp(unit, "percent") == 0 || strchr(unit, '/') != NULL;
}

/* Percent by division, so that 70 % is the double 0.7: UDUNITS-2 multiplies by 0.01. */
static double handy_to_si(const thaw_units *units, int kind, int h, double number)
{
    return kind == THAW_SHARE && h == 0 ? number / 100.0
                                        : cv_convert_double(units->to_si[kind][h], number);
}

static bool convert(const thaw_units *units, thaw_quantity kind, ut_unit *unit, double number,
                    double *si)
{
    ut_unit *target = ut_parse(units->system, KINDS[kind].si, UT_UTF8);
    cv_converter *converter = target ? ut_get_converter(unit, target) : NULL;
    if (converter && kind == THAW_SHARE && cv_convert_double(converter, 100.0) == 1.0) {
        *si = number / 100.0;
    } else if (converter) {
        *si = cv_convert_double(converter, number);
    }
    cv_free(converter);
    ut_free(target);
    return converter != NULL;
}

static void refuse_unit(thaw_quantity kind, const char *unit, const char *is, char *why, size_t why_size)
{
    const char *hint = thaw_unit_hint(kind, unit);
    snprintf(why, why_size, "`%.60s` is %s: write %s such as `%s`%s%s", unit, is, KINDS[kind].called, KINDS[kind].example,
             hint ? "; " : "", hint ? hint : "");
}

/* "60 %" for someone who wrote 60 or 0.6. */
static const char *share_example(double number, char out[32])
{
    const double percent = number > 0.0 && number <= 3.0 ? 100.0 * number : number;
    snprintf(out, 32, "%.4g %%", percent > 0.0 && percent < 1e4 ? percent : 50.0);
    return out;
}

bool thaw_quantity_parse(const thaw_units *units, thaw_quantity kind, const char *text, double *si,
                         char *why, size_t why_size)
{
    const struct kind_row *row = &KINDS[kind];
    double number = 0.0, value = 0.0;
    const char *unit_text = thaw_number_parse(text, &number, why, why_size);
    if (!unit_text) {
        return false;
    }
    unit_text += strspn(unit_text, " ");
    if (*unit_text == '\0') {
        char share[32];
        snprintf(why, why_size, "`%.60s` has no unit: write %s with its unit, such as `%s`", text, row->called,
                 kind == THAW_SHARE ? share_example(number, share) : row->example);
        return false;
    }
    ut_unit *unit = thaw_unit_misleads(unit_text) ? NULL : find_unit(units, unit_text);
    if (!unit) {
        refuse_unit(kind, unit_text, "not a unit", why, why_size);
        return false;
    }
    bool right = (kind != THAW_SHARE || is_plain_share(unit_text)) &&
                 convert(units, kind, unit, number, &value);
    ut_free(unit);
    if (!right) {
        refuse_unit(kind, unit_text, "the wrong kind of unit", why, why_size);
        return false;
    }
    if (!isfinite(value)) {
        snprintf(why, why_size, "`%.60s` is too large a number", text);
        return false;
    }
    *si = value;
    return true;
}

/* Does `digits` significant digits of the handy unit name exactly this double? The value printed
 * is the rounded one or its neighbours, since the way to the handy unit and back may miss by a bit.
 */
static bool print_in(const thaw_units *units, int kind, int h, int digits, double si, char *out,
                     size_t size)
{
    double middle = cv_convert_double(units->from_si[kind][h], si);
    for (int step = 0; step < 5; step++) {
        double x = middle;
        for (int i = 0; i < (step + 1) / 2; i++) {
            x = nextafter(x, step % 2 ? HUGE_VAL : -HUGE_VAL);
        }
        char number[40];
        snprintf(number, sizeof number, "%.*g", digits, x);
        if (handy_to_si(units, kind, h, strtod(number, NULL)) == si) {
            snprintf(out, size, "%s %s", number, KINDS[kind].handy[h]);
            return true;
        }
    }
    return false;
}

void thaw_quantity_print(const thaw_units *units, thaw_quantity kind, double si, char *out,
                         size_t size)
{
    for (int digits = 6; digits <= 17; digits += digits == 6 ? 9 : 2) {
        for (int h = 0; h < HANDY_UNITS && KINDS[kind].handy[h]; h++) {
            if (print_in(units, (int)kind, h, digits, si, out, size)) {
                return;
            }
        }
    }
    snprintf(out, size, "%.17g %s", si, KINDS[kind].si);
}

/* The handy unit in which the number is easiest to read. */
static int easy_unit(thaw_quantity kind, double si)
{
    switch (kind) {
    case THAW_LENGTH:
        return fabs(si) < 0.01 ? 1 : 0;
    case THAW_MASS:
        return fabs(si) < 1.0 ? 0 : 1;
    case THAW_TIME:
        return fabs(si) < 7200.0 ? 1 : 0;
    default:
        return 0;
    }
}

void thaw_quantity_show(const thaw_units *units, thaw_quantity kind, double si, char *out,
                        size_t size)
{
    int h = easy_unit(kind, si);
    double number = cv_convert_double(units->from_si[kind][h], si);
    snprintf(out, size, "%.6g %s", number, KINDS[kind].handy[h]);
}
