#include "scenario/fold_keys.h"

#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/words.h"

static const char *const DIRECTIONS[] = {"width", "length", NULL};
static const char *const POINTS[] = {"top left", "top right", "bottom right", "bottom left",
                                     "top",      "right",     "bottom",       "left",        NULL};
static const char *const SHAPES[] = {"right", "equal", NULL};
static const char *const SCRUNCHES[] = {"loose", "medium", "tight", NULL};
static const double SCRUNCH_SHARES[] = {0.6, 0.4, 0.25}; /* estimate: what the words mean to hands */

static const char *const TURNS[] = {"right", "left", NULL};
static const char *const SLANTS[] = {"straight", "diagonal", NULL};
static const char *const CORNERS[] = {"top left", "top right", "bottom right", "bottom left", NULL};
static const char *const TIES[] = {"loose", "firm", "tight", NULL};
static const double TIGHTNESSES[] = {0.35, 0.65, 0.9}; /* estimate: what the words mean to hands */

static const thaw_fold DEFAULTS[THAW_FOLD_KINDS] = {
    [THAW_FOLD_FLAT] = {.kind = THAW_FOLD_FLAT},
    [THAW_FOLD_ACCORDION] = {.kind = THAW_FOLD_ACCORDION, .along = THAW_ALONG_LENGTH, .pleats = 6, .waviness_m = 0.003},
    [THAW_FOLD_SCRUNCH] = {.kind = THAW_FOLD_SCRUNCH, .share = 0.4},
    [THAW_FOLD_CRUMPLE] = {.kind = THAW_FOLD_CRUMPLE, .share = 0.3},
    [THAW_FOLD_FAN] = {.kind = THAW_FOLD_FAN, .pleats = 6, .point = THAW_POINT_TOP_LEFT, .waviness_m = 0.002},
    [THAW_FOLD_TRIANGLE] = {.kind = THAW_FOLD_TRIANGLE, .along = THAW_ALONG_LENGTH, .waviness_m = 0.002},
    [THAW_FOLD_RADIAL] = {.kind = THAW_FOLD_RADIAL, .order = 6, .waviness_m = 0.002},
    [THAW_FOLD_TWIST] = {.kind = THAW_FOLD_TWIST, .arms = 12, .share = 0.3},
    [THAW_FOLD_ROLL] = {.kind = THAW_FOLD_ROLL, .along = THAW_ALONG_LENGTH, .pole_m = 0.05},
    [THAW_FOLD_GATHER] = {.kind = THAW_FOLD_GATHER, .along = THAW_ALONG_WIDTH, .number = 4, .share = 0.3,
                          .stitch_m = 0.01, .band_m = 0.005, .tightness = 0.9},
    [THAW_FOLD_KNOT] = {.kind = THAW_FOLD_KNOT, .point = THAW_POINT_TOP_LEFT, .size_m = 0.12, .tightness = 0.9},
    [THAW_FOLD_TIE] = {.kind = THAW_FOLD_TIE, .along = THAW_ALONG_LENGTH, .number = 1, .band_m = 0.01, .tightness = 0.9},
};

static const char *const NAMES[THAW_FOLD_KINDS] = {
    [THAW_FOLD_FLAT] = "flat",         [THAW_FOLD_ACCORDION] = "accordion", [THAW_FOLD_SCRUNCH] = "scrunch",
    [THAW_FOLD_CRUMPLE] = "crumple",   [THAW_FOLD_FAN] = "fan",           [THAW_FOLD_TRIANGLE] = "triangle",   [THAW_FOLD_RADIAL] = "radial",
    [THAW_FOLD_TWIST] = "twist",       [THAW_FOLD_ROLL] = "roll",           [THAW_FOLD_GATHER] = "gather",
    [THAW_FOLD_KNOT] = "knot",         [THAW_FOLD_TIE] = "tie",
};

#define MEMBER(name) offsetof(thaw_fold, name)
#define WHOLE(kind, word, key, member, least, most)                                                                   \
    {kind, THAW_FOLD_WHOLE, MEMBER(member), key, {word "." key, THAW_SHARE, least, most, false, ""}, NULL, NULL, false}
#define AMOUNT(kind, word, key, member, quantity, least, most, allowed)                                               \
    {kind, THAW_FOLD_AMOUNT, MEMBER(member), key, {word "." key, quantity, least, most, false, allowed}, NULL, NULL,   \
     false}
#define WORD(kind, word, key, member, known)                                                                          \
    {kind, THAW_FOLD_WORD, MEMBER(member), key, {word "." key, THAW_SHARE, 0.0, 0.0, false, ""}, known, NULL, false}
#define WAVINESS(kind, word) AMOUNT(kind, word, "waviness", waviness_m, THAW_LENGTH, 0.0, 0.05, "0 mm to 50 mm")

/* Keys of one fold stand together. */
static const thaw_fold_key KEYS[] = {
    WHOLE(THAW_FOLD_ACCORDION, "accordion", "pleats", pleats, 2, 64),
    WORD(THAW_FOLD_ACCORDION, "accordion", "along", along, DIRECTIONS),
    WAVINESS(THAW_FOLD_ACCORDION, "accordion"),
    {THAW_FOLD_SCRUNCH, THAW_FOLD_AMOUNT, MEMBER(share), "to",
     {"scrunch.to", THAW_SHARE, 0.15, 1.0, false, "15 % to 100 %, or loose, medium, tight"},
     SCRUNCHES, SCRUNCH_SHARES, false},
    {THAW_FOLD_SCRUNCH, THAW_FOLD_AMOUNT, MEMBER(size_m), "size",
     {"scrunch.size", THAW_LENGTH, 0.05, 5.0, false, "5 cm to 5 m"}, NULL, NULL, true},
    {THAW_FOLD_CRUMPLE, THAW_FOLD_PICTURE, MEMBER(painted), "picture", {"crumple.picture", THAW_SHARE, 0.0, 0.0, false, ""},
     NULL, NULL, false},
    {THAW_FOLD_CRUMPLE, THAW_FOLD_SUM, MEMBER(painted), "sum", {"crumple.sum", THAW_SHARE, 0.0, 0.0, false, ""}, NULL, NULL,
     false},
    {THAW_FOLD_CRUMPLE, THAW_FOLD_AMOUNT, MEMBER(share), "to",
     {"crumple.to", THAW_SHARE, 0.15, 0.9, false, "15 % to 90 %, or loose, medium, tight"}, SCRUNCHES, SCRUNCH_SHARES, false},
    WHOLE(THAW_FOLD_FAN, "fan", "pleats", pleats, 2, 32),
    WORD(THAW_FOLD_FAN, "fan", "from", point, POINTS),
    WAVINESS(THAW_FOLD_FAN, "fan"),
    WORD(THAW_FOLD_TRIANGLE, "triangle", "corner", shape, SHAPES),
    WORD(THAW_FOLD_TRIANGLE, "triangle", "along", along, DIRECTIONS),
    WAVINESS(THAW_FOLD_TRIANGLE, "triangle"),
    WHOLE(THAW_FOLD_RADIAL, "radial", "order", order, 2, 16),
    WAVINESS(THAW_FOLD_RADIAL, "radial"),
    WHOLE(THAW_FOLD_TWIST, "twist", "arms", arms, 3, 48),
    AMOUNT(THAW_FOLD_TWIST, "twist", "to", share, THAW_SHARE, 0.15, 0.8, "15 % to 80 %"),
    WORD(THAW_FOLD_TWIST, "twist", "turn", turn, TURNS),
    WORD(THAW_FOLD_ROLL, "roll", "along", along, DIRECTIONS),
    AMOUNT(THAW_FOLD_ROLL, "roll", "pole", pole_m, THAW_LENGTH, 0.005, 0.3, "5 mm to 30 cm"),
    WORD(THAW_FOLD_ROLL, "roll", "slant", slant, SLANTS),
    WORD(THAW_FOLD_GATHER, "gather", "along", along, DIRECTIONS),
    WHOLE(THAW_FOLD_GATHER, "gather", "rows", number, 1, 40),
    AMOUNT(THAW_FOLD_GATHER, "gather", "to", share, THAW_SHARE, 0.15, 0.9, "15 % to 90 %"),
    AMOUNT(THAW_FOLD_GATHER, "gather", "stitch", stitch_m, THAW_LENGTH, 0.005, 0.05, "5 mm to 5 cm"),
    AMOUNT(THAW_FOLD_GATHER, "gather", "band", band_m, THAW_LENGTH, 0.002, 0.02, "2 mm to 2 cm"),
    {THAW_FOLD_GATHER, THAW_FOLD_AMOUNT, MEMBER(tightness), "tightness",
     {"gather.tightness", THAW_SHARE, 0.05, 1.0, false, "5 % to 100 %, or loose, firm, tight"}, TIES, TIGHTNESSES, false},
    WORD(THAW_FOLD_KNOT, "knot", "corner", point, CORNERS),
    AMOUNT(THAW_FOLD_KNOT, "knot", "size", size_m, THAW_LENGTH, 0.05, 0.4, "5 cm to 40 cm"),
    {THAW_FOLD_KNOT, THAW_FOLD_AMOUNT, MEMBER(tightness), "tightness",
     {"knot.tightness", THAW_SHARE, 0.05, 1.0, false, "5 % to 100 %, or loose, firm, tight"}, TIES, TIGHTNESSES, false},
    WORD(THAW_FOLD_TIE, "tie", "along", along, DIRECTIONS),
    WHOLE(THAW_FOLD_TIE, "tie", "number", number, 1, 40),
    {THAW_FOLD_TIE, THAW_FOLD_AMOUNT, MEMBER(at), "at", {"tie.at", THAW_SHARE, 0.0, 1.0, true, "above 0 % and up to 100 %"},
     NULL, NULL, true},
    AMOUNT(THAW_FOLD_TIE, "tie", "band", band_m, THAW_LENGTH, 0.002, 0.1, "2 mm to 10 cm"),
    {THAW_FOLD_TIE, THAW_FOLD_AMOUNT, MEMBER(tightness), "tightness",
     {"tie.tightness", THAW_SHARE, 0.05, 1.0, false, "5 % to 100 %, or loose, firm, tight"}, TIES, TIGHTNESSES, false},
};
#define N_KEYS ((int)(sizeof KEYS / sizeof KEYS[0]))

const char *thaw_fold_keys_name(thaw_fold_kind kind)
{
    return NAMES[kind];
}

const thaw_fold_key *thaw_fold_keys_of(thaw_fold_kind kind, int *n)
{
    const thaw_fold_key *first = NULL;
    *n = 0;
    for (int i = 0; i < N_KEYS; i++) {
        if (KEYS[i].fold == kind) {
            first = first ? first : &KEYS[i];
            (*n)++;
        }
    }
    return first;
}

thaw_fold thaw_fold_keys_default(thaw_fold_kind kind)
{
    return DEFAULTS[kind];
}

static int count(const char *const *words)
{
    int n = 0;
    while (words && words[n]) {
        n++;
    }
    return n;
}

/* Index of the word that the node is; -1, without a fault, if it is none. */
static int find_word(const yaml_node_t *node, const char *const *words)
{
    for (int i = 0; node && node->type == YAML_SCALAR_NODE && i < count(words); i++) {
        if (thaw_words_same((const char *)node->data.scalar.value, words[i])) {
            return i;
        }
    }
    return -1;
}

static int int_at(const thaw_fold_key *key, const thaw_fold *fold)
{
    int value;
    memcpy(&value, (const char *)fold + key->at, sizeof value);
    return value;
}

static double double_at(const thaw_fold_key *key, const thaw_fold *fold)
{
    double value;
    memcpy(&value, (const char *)fold + key->at, sizeof value);
    return value;
}

static bool read_amount(const thaw_fold_key *key, const thaw_reader *reader, const yaml_node_t *node, double *value)
{
    int word = find_word(node, key->words);
    if (word >= 0) {
        *value = key->amounts[word];
        return true;
    }
    return thaw_reader_quantity(reader, node, &key->rule, value);
}

bool thaw_fold_keys_read(const thaw_fold_key *key, const thaw_reader *reader, const yaml_node_t *node,
                         thaw_fold *fold)
{
    char *member = (char *)fold + key->at;
    uint64_t whole = 0;
    double amount = 0.0;
    int value = -1;
    switch (key->value) {
    case THAW_FOLD_WHOLE:
        if (thaw_reader_whole(reader, node, key->rule.name, (uint64_t)key->rule.lowest, (uint64_t)key->rule.highest,
                              &whole)) {
            value = (int)whole;
        }
        break;
    case THAW_FOLD_WORD:
        value = thaw_reader_word(reader, node, key->rule.name, key->words, count(key->words));
        break;
    case THAW_FOLD_AMOUNT:
        if (!read_amount(key, reader, node, &amount)) {
            return false;
        }
        memcpy(member, &amount, sizeof amount);
        return true;
    case THAW_FOLD_PICTURE:
    case THAW_FOLD_SUM:
        return false;
    }
    if (value >= 0) {
        memcpy(member, &value, sizeof value);
    }
    return value >= 0;
}

bool thaw_fold_keys_print(const thaw_fold_key *key, const thaw_units *units, const thaw_fold *fold, bool exact,
                          char *out, size_t size)
{
    if (key->value == THAW_FOLD_PICTURE) {
        snprintf(out, size, exact ? "\"%s\"" : "%s", fold->painted.picture);
    } else if (key->value == THAW_FOLD_SUM) {
        snprintf(out, size, "\"%08x\"", (unsigned)fold->painted.picture_sum);
        return exact;
    } else if (key->value == THAW_FOLD_WHOLE) {
        snprintf(out, size, "%d", int_at(key, fold));
    } else if (key->value == THAW_FOLD_WORD) {
        snprintf(out, size, "%s", key->words[int_at(key, fold)]);
    } else {
        double amount = double_at(key, fold);
        if (key->optional && !(amount > 0.0)) {
            return false;
        }
        (exact ? thaw_quantity_print : thaw_quantity_show)(units, key->rule.kind, amount, out, size);
    }
    return true;
}
