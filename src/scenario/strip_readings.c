#include "scenario/strip_readings.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "base/quantity.h"
#include "base/words.h"
#include "scenario/faults.h"
#include "thawprint/words.h"

#define LONGEST_CELL 80
#define HEADING "the heading names both with their units: `time (min), height (mm)`"

enum { TIME, HEIGHT, N_COLUMNS };

static const struct column_rule {
    const char *word;
    thaw_quantity kind;
    double lowest, highest;
    const char *allowed;
    const char *units;
} COLUMNS[N_COLUMNS] = {
    [TIME] = {"time", THAW_TIME, 1.0, 86400.0, "1 s to 24 h", "s, min or h"},
    [HEIGHT] = {"height", THAW_LENGTH, 1e-3, 1.0, "1 mm to 1 m, above the level of the water", "mm, cm or in"},
};

/* Part of a line between separators, without spaces round it. */
typedef struct cell {
    char text[LONGEST_CELL];
    thaw_place place;
} cell;

typedef struct work {
    thaw_faults *faults;
    const thaw_units *units;
    bool has_heading;
    int of[N_COLUMNS];             /* which quantity a column holds */
    char unit[N_COLUMNS][LONGEST_CELL];
    thaw_strip_readings readings;
} work;

static bool continues_character(char c)
{
    return ((unsigned char)c & 0xC0u) == 0x80u;
}

static char separator_of(const char *line, size_t n)
{
    return memchr(line, '\t', n) ? '\t' : memchr(line, ';', n) ? ';' : ',';
}

/* Cells of a line, at most `most` of them kept; returns how many there are. */
static int split(const char *line, size_t n, size_t number, int most, cell *cells)
{
    const char separator = separator_of(line, n);
    size_t column = 1;
    int count = 0;
    for (size_t from = 0; from <= n;) {
        const char *found = memchr(line + from, separator, n - from);
        size_t to = found ? (size_t)(found - line) : n, begin = from, end = to;
        while (begin < end && (line[begin] == ' ' || line[begin] == '\t')) {
            begin++;
        }
        while (end > begin && (line[end - 1] == ' ' || line[end - 1] == '\t' || line[end - 1] == '\r')) {
            end--;
        }
        if (count < most) {
            snprintf(cells[count].text, sizeof cells[count].text, "%.*s", (int)(end - begin), line + begin);
            cells[count].place = (thaw_place){number, column + (begin - from)};
        }
        for (size_t i = from; i <= to; i++) {
            column += i == n || !continues_character(line[i]);
        }
        count++;
        from = to + 1;
    }
    return count;
}

/* `time (min)`, `time_min`, `time [min]` -> the word and the unit. */
static void part_heading(const char *text, char *word, char *unit)
{
    size_t n = strcspn(text, " _([");
    const char *from = text + n + strspn(text + n, " _([");
    snprintf(word, LONGEST_CELL, "%.*s", (int)n, text);
    snprintf(unit, LONGEST_CELL, "%.*s", (int)strcspn(from, ")]"), from);
}

static int find_column(const work *w, const cell *c, const char *word)
{
    const char *names[N_COLUMNS] = {COLUMNS[TIME].word, COLUMNS[HEIGHT].word};
    for (int i = 0; i < N_COLUMNS; i++) {
        if (thaw_words_same(word, names[i])) {
            return i;
        }
    }
    const char *near = thaw_words_nearest(word, names, N_COLUMNS);
    char remedy[160];
    snprintf(remedy, sizeof remedy, "%s%s%s" HEADING, near ? "did you mean `" : "", near ? near : "", near ? "`? " : "");
    thaw_faults_add(w->faults, c->place, remedy, "`%.60s` is no column of a strip test", c->text);
    return -1;
}

static void check_unit(work *w, const cell *c, int column, int i)
{
    char probe[LONGEST_CELL + 4], why[240], remedy[160];
    double si;
    snprintf(probe, sizeof probe, "1 %s", w->unit[i]);
    snprintf(remedy, sizeof remedy, "units of %s: %s", COLUMNS[column].word, COLUMNS[column].units);
    if (!w->unit[i][0]) {
        thaw_faults_add(w->faults, c->place, remedy, "`%.60s` has no unit", c->text);
    } else if (!thaw_quantity_parse(w->units, COLUMNS[column].kind, probe, &si, why, sizeof why)) {
        thaw_faults_add(w->faults, c->place, remedy, "%s", why);
    }
}

static void read_heading(work *w, const cell *cells, int n)
{
    bool seen[N_COLUMNS] = {false};
    w->has_heading = true;
    if (n != N_COLUMNS) {
        thaw_faults_add(w->faults, cells[0].place, HEADING, "%d column%s where two are wanted", n, n == 1 ? "" : "s");
        w->of[0] = w->of[1] = -1;
        return;
    }
    for (int i = 0; i < N_COLUMNS; i++) {
        char word[LONGEST_CELL];
        part_heading(cells[i].text, word, w->unit[i]);
        const int column = find_column(w, &cells[i], word);
        if (column >= 0 && seen[column]) {
            thaw_faults_add(w->faults, cells[i].place, HEADING, "`%s` is there twice", COLUMNS[column].word);
        } else if (column >= 0) {
            seen[column] = true;
            check_unit(w, &cells[i], column, i);
        }
        w->of[i] = column;
    }
}

/* A number in the unit of its column, which the heading gave. */
static bool read_value(const work *w, const cell *c, int i, double *si)
{
    const struct column_rule *rule = &COLUMNS[w->of[i]];
    char text[2 * LONGEST_CELL + 2], why[240], remedy[120];
    double number = 0.0;
    snprintf(remedy, sizeof remedy, "allowed: %s", rule->allowed);
    const char *rest = thaw_number_parse(c->text, &number, why, sizeof why);
    if (!c->text[0]) {
        thaw_faults_add(w->faults, c->place, remedy, "%s is missing", rule->word);
    } else if (!rest) {
        thaw_faults_add(w->faults, c->place, remedy, "%s: %s", rule->word, why);
    } else if (*rest) {
        thaw_faults_add(w->faults, c->place, "write plain numbers: the unit stands in the heading", "%s: `%.60s` is not a plain number",
                        rule->word, c->text);
    } else if (!isfinite(number)) {
        thaw_faults_add(w->faults, c->place, remedy, "%s: `%.60s` is too large a number", rule->word, c->text);
    } else {
        snprintf(text, sizeof text, "%s %s", c->text, w->unit[i]);
        if (!thaw_quantity_parse(w->units, rule->kind, text, si, why, sizeof why)) {
            return false; /* the heading's fault, reported there */
        }
        if (*si >= rule->lowest && *si <= rule->highest) {
            return true;
        }
        thaw_faults_add(w->faults, c->place, remedy, "%s: %.60s is too %s", rule->word, text, *si > rule->highest ? "large" : "small");
    }
    return false;
}

static void read_row(work *w, const cell *cells, int n)
{
    double values[N_COLUMNS] = {0.0, 0.0};
    if (w->of[0] < 0 || w->of[1] < 0 || w->of[0] == w->of[1]) {
        return; /* the heading is at fault */
    }
    if (n != N_COLUMNS) {
        thaw_faults_add(w->faults, cells[0].place, "one time and one height to a line", "%d value%s where two are wanted", n,
                        n == 1 ? "" : "s");
        return;
    }
    bool fine = read_value(w, &cells[0], 0, &values[w->of[0]]);
    fine = read_value(w, &cells[1], 1, &values[w->of[1]]) && fine;
    if (fine && w->readings.n == THAW_STRIP_MOST) {
        thaw_faults_add(w->faults, cells[0].place, NULL, "more than %d readings", THAW_STRIP_MOST);
    } else if (fine) {
        w->readings.t_s[w->readings.n] = values[TIME];
        w->readings.height_m[w->readings.n++] = values[HEIGHT];
    }
}

static void read_lines(work *w, const char *text, size_t n)
{
    static const char mark[] = "\xEF\xBB\xBF"; /* some programs put it first */
    size_t at = n >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0;
    for (size_t number = 1; at < n; number++) {
        const char *end = memchr(text + at, '\n', n - at);
        size_t whole = end ? (size_t)(end - (text + at)) : n - at, used = whole;
        const char *comment = memchr(text + at, '#', whole);
        used = comment ? (size_t)(comment - (text + at)) : whole;
        size_t blank = 0;
        while (blank < used && isspace((unsigned char)text[at + blank])) {
            blank++;
        }
        if (blank < used) {
            cell cells[N_COLUMNS];
            const int count = split(text + at, used, number, N_COLUMNS, cells);
            if (w->has_heading) {
                read_row(w, cells, count);
            } else {
                read_heading(w, cells, count);
            }
        }
        at += whole + 1;
    }
}

/* Wet cloth stays wet: a later reading may be lower by what a ruler misses, not by more. */
#define FALLS 0.85

static void check_rise(const work *w)
{
    const thaw_strip_readings *r = &w->readings;
    for (int i = 0; i < r->n; i++) {
        for (int j = 0; j < r->n; j++) {
            if (r->t_s[j] > r->t_s[i] && r->height_m[j] < FALLS * r->height_m[i]) {
                thaw_faults_add(w->faults, (thaw_place){0, 0}, "read the highest wet line each time; look whether heights and times are swapped",
                                "the water falls from %.3g mm after %.3g s to %.3g mm after %.3g s", 1e3 * r->height_m[i], r->t_s[i],
                                1e3 * r->height_m[j], r->t_s[j]);
                return;
            }
        }
    }
}

/* What no one line is at fault for. */
static void check_whole(const work *w)
{
    const thaw_strip_readings *r = &w->readings;
    double first = 0.0, last = 0.0;
    for (int i = 0; i < r->n; i++) {
        first = i == 0 || r->t_s[i] < first ? r->t_s[i] : first;
        last = r->t_s[i] > last ? r->t_s[i] : last;
    }
    if (!w->has_heading) {
        thaw_faults_add(w->faults, (thaw_place){0, 0}, HEADING, "the file holds no readings: it is empty");
    } else if (thaw_faults_count(w->faults) == 0 && r->n < 2) {
        thaw_faults_add(w->faults, (thaw_place){0, 0}, "five or six are good, from half a minute to half an hour",
                        "%d reading%s; at least two are wanted", r->n, r->n == 1 ? "" : "s");
    } else if (thaw_faults_count(w->faults) == 0 && last < 3.0 * first) {
        thaw_faults_add(w->faults, (thaw_place){0, 0}, "take some much later than the first: at 1 and 20 minutes, say",
                        "the readings lie too close together in time: from %.3g s to %.3g s", first, last);
    } else if (thaw_faults_count(w->faults) == 0) {
        check_rise(w);
    }
}

thaw_status thaw_strip_readings_parse(const char *text, size_t n, const char *path, thaw_strip_readings *out,
                                      thaw_error *err)
{
    thaw_units *units = NULL;
    thaw_faults *faults = NULL;
    thaw_status status = thaw_units_create(&units, err);
    if (status == THAW_OK) {
        status = thaw_faults_create(path, text, n, &faults, err);
    }
    if (status == THAW_OK) {
        work w = {.faults = faults, .units = units};
        if (memchr(text, '\0', n)) {
            thaw_faults_add(faults, (thaw_place){0, 0}, HEADING, "is no text file");
        } else {
            read_lines(&w, text, n);
            check_whole(&w);
        }
        status = thaw_faults_report(faults, err);
        if (status == THAW_OK) {
            *out = w.readings;
        }
    }
    thaw_faults_destroy(faults);
    thaw_units_destroy(units);
    return status;
}
