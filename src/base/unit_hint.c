#include "base/unit_hint.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

#include "base/words.h"

#define MOST_WORDS 18

static const char *const MISLEAD[] = {"gr", "grs", "bag", "bags"}; /* a grain, 0.065 g; 94 lb of cement */

static const struct hint {
    thaw_quantity kind;
    const char *hint;
    const char *words[MOST_WORDS];
} HINTS[] = {
    {THAW_TEMPERATURE, "Fahrenheit is `68 degF`", {"F", "fahrenheit"}},
    {THAW_TEMPERATURE, "Celsius is `20 degC`", {"C", "centigrade", "deg", "degree", "degrees"}},
    {THAW_MASS, "a bag is no measure: weigh it, or read what is printed on it", {"bag", "bags"}},
    {THAW_MASS, "grams are `g`", {"gr", "grs", "gm", "gms", "gramms"}},
    {THAW_MASS, "kilograms are `kg`", {"kilo", "kilos", "k", "kgs"}},
    {THAW_MASS, "spoons differ, so weigh it: a level teaspoon of dye powder is 2 to 4 g",
     {"tsp", "tsps", "teaspoon", "teaspoons", "tbsp", "tablespoon", "tablespoons", "spoon", "spoons", "pinch"}},
    {THAW_MASS, "that is a volume, so weigh it: a litre of heaped ice is about half a kilogram",
     {"L", "mL", "cl", "dl", "litre", "litres", "liter", "liters", "pint", "pints", "qt", "quart", "quarts", "gal", "gallon", "gallons", "cup",
      "cups"}},
    {THAW_MASS, "a share of the dry cloth is `on-weight: 2 %`", {"%", "percent"}},
    {THAW_LENGTH, "inches are `18 in`", {"\"", "''", "\xE2\x80\xB3", "\xE2\x80\x9D"}},
    {THAW_LENGTH, "feet are `2 ft`", {"'", "\xE2\x80\xB2", "\xE2\x80\x99"}},
    {THAW_CONCENTRATION, "1 % is `10 g/L`", {"%", "percent"}},
    {THAW_CONCENTRATION, "a cup of soda ash to the US gallon is 31 to 69 g/L", {"cup/gal", "cups/gal", "cup/gallon", "cups/gallon", "cup per gallon"}},
    {THAW_TIME, "minutes are `90 min`, months are too long", {"m", "M"}},
};

static bool has_digit(const char *text)
{
    for (; *text; text++) {
        if (isdigit((unsigned char)*text)) {
            return true;
        }
    }
    return false;
}

static bool has_capital(const char *text)
{
    for (; *text; text++) {
        if (isupper((unsigned char)*text)) {
            return true;
        }
    }
    return false;
}

bool thaw_unit_misleads(const char *unit)
{
    for (size_t i = 0; i < sizeof MISLEAD / sizeof *MISLEAD; i++) {
        if (thaw_words_same(unit, MISLEAD[i])) {
            return true;
        }
    }
    return false;
}

const char *thaw_unit_hint(thaw_quantity kind, const char *unit)
{
    const size_t n = strlen(unit);
    for (size_t i = 0; i < sizeof HINTS / sizeof *HINTS; i++) {
        for (int w = 0; HINTS[i].kind == kind && w < MOST_WORDS && HINTS[i].words[w]; w++) {
            if (thaw_words_same(unit, HINTS[i].words[w])) {
                return HINTS[i].hint;
            }
        }
    }
    if (isdigit((unsigned char)*unit) && strchr(unit, '/')) {
        return "fractions are written with a point: 1 1/2 is 1.5";
    }
    if (isalpha((unsigned char)*unit) && strchr(unit, ' ') && has_digit(unit)) {
        return "one number and one unit: 2 lb 4 oz is `2.25 lb`";
    }
    if (n > 1 && unit[n - 1] == '.') {
        return "without the full stop";
    }
    return has_capital(unit) ? "mind small and capital letters: `kg`, `cm`, `in`, `degF`" : NULL;
}
