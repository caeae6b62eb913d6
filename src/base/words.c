#include "base/words.h"

#include <stddef.h>
#include <string.h>

#define LONGEST 63

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool thaw_words_same(const char *a, const char *b)
{
    while (*a && lower(*a) == lower(*b)) {
        a++;
        b++;
    }
    return *a == '\0' && *b == '\0';
}

static int least(int a, int b)
{
    return a < b ? a : b;
}

static int word_length(const char *word)
{
    size_t n = strlen(word);
    return n > LONGEST ? LONGEST : (int)n;
}

/* Optimal string alignment, three rolling rows. */
int thaw_words_distance(const char *a, const char *b)
{
    int rows[3][LONGEST + 1];
    int na = word_length(a), nb = word_length(b);
    for (int j = 0; j <= nb; j++) {
        rows[0][j] = j;
    }
    for (int i = 1; i <= na; i++) {
        int *now = rows[i % 3], *before = rows[(i + 2) % 3], *older = rows[(i + 1) % 3];
        now[0] = i;
        for (int j = 1; j <= nb; j++) {
            int change = before[j - 1] + (lower(a[i - 1]) != lower(b[j - 1]));
            now[j] = least(least(before[j], now[j - 1]) + 1, change);
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) &&
                lower(a[i - 2]) == lower(b[j - 1])) {
                now[j] = least(now[j], older[j - 2] + 1);
            }
        }
    }
    return rows[na % 3][nb];
}

/* `part` stands in `whole` between spaces, hyphens or the ends. */
static bool holds_word(const char *whole, const char *part)
{
    size_t n = strlen(part);
    for (const char *at = whole; n > 2 && *at; at++) {
        bool starts = at == whole || at[-1] == ' ' || at[-1] == '-';
        size_t i = 0;
        while (i < n && lower(at[i]) == lower(part[i])) {
            i++;
        }
        if (starts && i == n && (at[n] == '\0' || at[n] == ' ' || at[n] == '-')) {
            return true;
        }
    }
    return false;
}

const char *thaw_words_nearest(const char *word, const char *const *known, int n)
{
    const char *best = NULL;
    int allowed = 1 + word_length(word) / 4;
    int best_distance = allowed + 1;
    for (int i = 0; i < n; i++) {
        int distance = thaw_words_distance(word, known[i]);
        if (distance > 1 && holds_word(known[i], word)) {
            distance = 1;
        }
        if (distance < best_distance) {
            best_distance = distance;
            best = known[i];
        }
    }
    return best;
}

int thaw_words_control(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    if ((at[0] > 0 && at[0] < 0x20) || at[0] == 0x7F) {
        return 1;
    }
    if (at[0] == 0xC2 && at[1] >= 0x80 && at[1] < 0xA0) { /* U+0080 to U+009F */
        return 2;
    }
    /* U+2028 to U+202E, U+2066 to U+2069 */
    bool steers = at[0] == 0xE2 && ((at[1] == 0x80 && at[2] >= 0xA8 && at[2] <= 0xAE) || (at[1] == 0x81 && at[2] >= 0xA6 && at[2] <= 0xA9));
    return steers ? 3 : 0;
}
