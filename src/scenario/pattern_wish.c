#include "scenario/pattern_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/words.h"
#include "data/dyes.h"

static const struct {
    const char *word, *meaning;
} WISHES[THAW_WISH_KINDS] = {
    [THAW_WISH_WHITE] = {"white", "as white as possible"},
    [THAW_WISH_COLOURED] = {"coloured", "as coloured as possible"},
    [THAW_WISH_HEM] = {"hem", "colour at the hem (its lower end as drawn), fading upward"},
    [THAW_WISH_EVEN] = {"even", "one colour all over"},
    [THAW_WISH_MATCH] = {"match", "left and right alike: both of a pair, or both halves"},
    [THAW_WISH_COLOUR] = {NULL, "near that colour: a name of `thawprint list colours`, or '#rrggbb'"},
};

int thaw_wishes_count(void)
{
    return THAW_WISH_KINDS;
}

const char *thaw_wishes_word(int i)
{
    return i < 0 || i >= THAW_WISH_KINDS ? NULL : WISHES[i].word ? WISHES[i].word : "turquoise, ...";
}

const char *thaw_wishes_remark(int i)
{
    return i < 0 || i >= THAW_WISH_KINDS ? NULL : WISHES[i].meaning;
}

int thaw_wish_words(const char **words, int most)
{
    int n = 0;
    for (int k = 0; k < THAW_WISH_COLOUR && n < most; k++) {
        words[n++] = WISHES[k].word;
    }
    for (int c = 0; c < thaw_colours_count() && n < most; c++) {
        words[n++] = thaw_colours_at(c)->name;
    }
    return n;
}

static bool read_paint(const char *text, uint8_t rgb[3])
{
    if (text[0] != '#' || strlen(text) != 7 || strspn(text + 1, "0123456789abcdefABCDEF") != 6) {
        return false;
    }
    const unsigned long value = strtoul(text + 1, NULL, 16);
    rgb[0] = (uint8_t)(value >> 16);
    rgb[1] = (uint8_t)(value >> 8);
    rgb[2] = (uint8_t)value;
    return true;
}

bool thaw_wish_read(const char *text, thaw_wish *out)
{
    thaw_wish wish = {.kind = THAW_WISH_COLOUR};
    bool found = read_paint(text, wish.rgb);
    const char *word = thaw_words_same(text, "colored") ? "coloured" : text;
    for (int k = 0; k < THAW_WISH_COLOUR && !found; k++) {
        found = thaw_words_same(word, WISHES[k].word);
        wish.kind = found ? (thaw_wish_kind)k : THAW_WISH_COLOUR;
    }
    for (int c = 0; c < thaw_colours_count() && !found; c++) {
        found = thaw_words_same(text, thaw_colours_at(c)->name);
        wish.colour = found ? thaw_colours_at(c) : NULL;
    }
    if (found) {
        snprintf(wish.text, sizeof wish.text, "%s", wish.colour ? wish.colour->name : word);
        *out = wish;
    }
    return found;
}

bool thaw_pattern_wish(thaw_pattern_sheet *sheet, const char *name, const char *text, char *why, size_t why_size)
{
    const char *names[THAW_MAX_PIECES], *words[128];
    thaw_wish wish;
    int at = -1;
    for (int i = 0; i < sheet->n; i++) {
        names[i] = sheet->pieces[i].name;
        at = thaw_words_same(name, names[i]) ? i : at;
    }
    const char *near = at < 0 ? thaw_words_nearest(name, names, sheet->n) : NULL;
    if (at < 0) {
        snprintf(why, why_size, "the pattern has no piece `%.60s`%s%s%s", name, near ? "; did you mean `" : "", near ? near : "",
                 near ? "`?" : "");
        return false;
    }
    if (!thaw_wish_read(text, &wish)) {
        near = thaw_words_nearest(text, words, thaw_wish_words(words, 128));
        snprintf(why, why_size, "`%.60s` is no wish%s%s%s; known: white, coloured, hem, even, match, a colour or #rrggbb", text,
                 near ? ", did you mean `" : "", near ? near : "", near ? "`?" : "");
        return false;
    }
    sheet->pieces[at].n_wishes = 1;
    sheet->pieces[at].wishes[0] = wish;
    return true;
}
