#include "output/page_write.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "output/base64.h"
#include "thawprint/say.h"

static void add(thaw_html *h, const char *bytes, size_t n)
{
    h->failed = h->failed || !thaw_bytes_append(&h->text, bytes, n, h->err);
}

void thaw_put(thaw_html *h, const char *html)
{
    add(h, html, strlen(html));
}

void thaw_putf(thaw_html *h, const char *format, ...)
{
    char line[1024];
    va_list args;
    va_start(args, format);
    vsnprintf(line, sizeof line, format, args);
    va_end(args);
    thaw_put(h, line);
}

/* Code point at `at` and its bytes; 1 byte and U+FFFD where that is no UTF-8. */
static size_t decode(const unsigned char *at, unsigned long *point)
{
    static const unsigned long least[] = {0, 0, 0x80, 0x800, 0x10000};
    const size_t n = at[0] < 0x80 ? 1 : at[0] >= 0xc2 && at[0] < 0xe0 ? 2 : at[0] >= 0xe0 && at[0] < 0xf0 ? 3
                   : at[0] >= 0xf0 && at[0] < 0xf5 ? 4 : 0;
    unsigned long p = n == 1 ? at[0] : n == 0 ? 0xfffd : at[0] & (0x7fu >> n);
    for (size_t i = 1; i < n; i++) {
        if ((at[i] & 0xc0) != 0x80) {
            *point = 0xfffd;
            return 1;
        }
        p = p << 6 | (at[i] & 0x3fu);
    }
    const bool fine = n == 1 || (n > 0 && p >= least[n] && p <= 0x10ffff && !(p >= 0xd800 && p < 0xe000));
    *point = fine ? p : 0xfffd;
    return fine ? n : 1;
}

static bool may_stand(unsigned long p)
{
    const bool control = (p < 0x20 && p != '\n' && p != '\t') || (p >= 0x7f && p < 0xa0);
    const bool turns = p == 0x61c || p == 0x200e || p == 0x200f || (p >= 0x202a && p <= 0x202e) || (p >= 0x2066 && p <= 0x2069);
    return !control && !turns && (p & 0xfffe) != 0xfffe && !(p >= 0xfdd0 && p <= 0xfdef);
}

static const char *entity(unsigned long p)
{
    return p == '&' ? "&amp;" : p == '<' ? "&lt;" : p == '>' ? "&gt;" : p == '"' ? "&quot;" : p == '\'' ? "&#39;" : NULL;
}

void thaw_put_text(thaw_html *h, const char *text)
{
    while (*text) {
        unsigned long point;
        const size_t n = decode((const unsigned char *)text, &point);
        const char *named = entity(point);
        if (named) {
            thaw_put(h, named);
        } else if (point == 0xfffd || !may_stand(point)) {
            thaw_put(h, "\xef\xbf\xbd");
        } else {
            add(h, text, n);
        }
        text += n;
    }
}

void thaw_put_data(thaw_html *h, const char *type, const void *bytes, size_t n)
{
    thaw_putf(h, "data:%s;base64,", type);
    h->failed = h->failed || !thaw_base64_append(&h->text, bytes, n, h->err);
}

void thaw_put_picture(thaw_html *h, const thaw_page_picture *picture, const char *alt)
{
    thaw_putf(h, "<img width=\"%d\" height=\"%d\" alt=\"", picture->width, picture->height);
    thaw_put_text(h, alt);
    thaw_put(h, "\" src=\"");
    thaw_put_data(h, "image/webp", picture->bytes, picture->n);
    thaw_put(h, "\">");
}

void thaw_put_table(thaw_html *h, const thaw_page_table *table)
{
    thaw_put(h, "<table><caption>");
    thaw_put_text(h, table->caption);
    thaw_put(h, "</caption>\n<thead><tr>");
    for (int c = 0; c < table->n_columns; c++) {
        thaw_put(h, "<th scope=\"col\">");
        thaw_put_text(h, table->heads[c]);
        thaw_put(h, "</th>");
    }
    thaw_put(h, "</tr></thead>\n<tbody>\n");
    for (int r = 0; r < table->n_rows; r++) {
        for (int c = 0; c < table->n_columns; c++) {
            thaw_put(h, c == 0 ? "<tr><th scope=\"row\">" : "<td>");
            thaw_put_text(h, table->cells[r][c]);
            thaw_put(h, c == 0 ? "</th>" : "</td>");
        }
        thaw_put(h, "</tr>\n");
    }
    thaw_put(h, "</tbody></table>\n");
    if (table->note) {
        thaw_put(h, "<p class=\"note\">");
        thaw_put_text(h, table->note);
        thaw_put(h, "</p>\n");
    }
}

void thaw_put_patch(thaw_html *h, const unsigned char rgb[3])
{
    thaw_putf(h, "<svg width=\"28\" height=\"28\" aria-hidden=\"true\"><rect x=\"0.5\" y=\"0.5\" width=\"27\" height=\"27\" "
              "fill=\"#%02x%02x%02x\"/></svg>", (unsigned)rgb[0], (unsigned)rgb[1], (unsigned)rgb[2]);
}

const char *thaw_page_about(double t_s, char *out, size_t size)
{
    thaw_say_about(t_s, out, size);
    char *half = strstr(out, " 1/2");
    if (half) { /* two bytes in place of four */
        memmove(half + 2, half + 4, strlen(half + 4) + 1);
        memcpy(half, "\xc2\xbd", 2);
    }
    return out;
}

const char *thaw_page_duration(double t_s, char *out, size_t size)
{
    thaw_say_duration(t_s, out, size);
    char *whole = strstr(out, " 00 min");
    if (whole) {
        *whole = '\0';
    }
    return out;
}
