/* The clock on the wall of the workroom. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/error.h"
#include "base/words.h"
#include "thawprint/supplies.h"

#define MINUTES_A_DAY 1440

static const char *const DAYS[7] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

/* A day's name or at least its first three letters; -1 for no day. */
static int find_day(const char *word, size_t n)
{
    char text[16];
    if (n < 3 || n >= sizeof text) {
        return -1;
    }
    snprintf(text, sizeof text, "%.*s", (int)n, word);
    for (int d = 0; d < 7; d++) {
        char start[16];
        snprintf(start, sizeof start, "%.*s", (int)n, DAYS[d]);
        if (strlen(start) == n && thaw_words_same(text, start)) {
            return d;
        }
    }
    return -1;
}

static const char *skip_blanks(const char *at)
{
    return at + strspn(at, " \t");
}

/* One or two digits; NULL if there are none or more. */
static const char *read_digits(const char *at, int *value)
{
    const size_t n = strspn(at, "0123456789");
    if (n < 1 || n > 2) {
        return NULL;
    }
    *value = at[0] - '0';
    *value = n == 2 ? 10 * *value + (at[1] - '0') : *value;
    return at + n;
}

/* "9:00", "9", with am or pm; the minute of the day, or -1. */
static int read_minute(const char *at)
{
    int hour = 0, minute = 0;
    bool has_minutes = false;
    at = read_digits(at, &hour);
    if (at && *at == ':') {
        const char *minutes = at + 1;
        at = read_digits(minutes, &minute);
        has_minutes = at == minutes + 2;
        at = has_minutes ? at : NULL;
    }
    if (!at) {
        return -1;
    }
    at = skip_blanks(at);
    const bool am = thaw_words_same(at, "am"), pm = thaw_words_same(at, "pm");
    if (am || pm) {
        return hour < 1 || hour > 12 || minute > 59 ? -1 : (hour % 12 + (pm ? 12 : 0)) * 60 + minute;
    }
    return *at != '\0' || !has_minutes || hour > 23 || minute > 59 ? -1 : hour * 60 + minute;
}

thaw_status thaw_clock_read(const char *text, thaw_clock *out, thaw_error *err)
{
    thaw_clock clock = {.is_set = true, .day = -1};
    const char *at = skip_blanks(text);
    size_t n = 0;
    while (isalpha((unsigned char)at[n])) {
        n++;
    }
    if (n > 0) {
        clock.day = find_day(at, n);
        at = skip_blanks(at + n);
    }
    clock.minute = read_minute(at);
    if ((n > 0 && clock.day < 0) || clock.minute < 0) {
        const char *near = NULL;
        char word[16];
        snprintf(word, sizeof word, "%.*s", (int)n, skip_blanks(text));
        near = n > 0 && clock.day < 0 ? thaw_words_nearest(word, DAYS, 7) : NULL;
        return thaw_fail(err, THAW_ERR_ARGUMENT,
                         "`%.40s` is no time of the week; wanted is a day and a time, as \"Sat 09:00\", \"Sunday 9 am\" or \"21:30\"%s%s%s",
                         text, near ? "; did you mean `" : "", near ? near : "", near ? "`?" : "");
    }
    *out = clock;
    return THAW_OK;
}

void thaw_clock_write(const thaw_clock *start, double after_s, char *out, size_t size)
{
    if (!isfinite(after_s)) {
        snprintf(out, size, "unknown");
        return;
    }
    const long minutes = lround(after_s / 60.0);
    if (!start->is_set) {
        snprintf(out, size, "+%ld:%02ld", minutes / 60, minutes % 60);
        return;
    }
    const long whole = start->minute + minutes, days = whole / MINUTES_A_DAY, at = whole % MINUTES_A_DAY;
    if (start->day >= 0) {
        snprintf(out, size, "%.3s %02ld:%02ld", DAYS[(start->day + days) % 7], at / 60, at % 60);
    } else if (days == 0) {
        snprintf(out, size, "%02ld:%02ld", at / 60, at % 60);
    } else {
        snprintf(out, size, "%02ld:%02ld +%ld d", at / 60, at % 60, days);
    }
}
