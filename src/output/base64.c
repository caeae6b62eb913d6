#include "output/base64.h"

#include <string.h>

#include "base/error.h"

static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

bool thaw_base64_append(thaw_bytes *to, const void *data, size_t n, thaw_error *err)
{
    const unsigned char *in = data;
    for (size_t i = 0; i < n; i += 3) {
        const unsigned rest = n - i < 3 ? (unsigned)(n - i) : 3;
        const unsigned bits = (unsigned)in[i] << 16 | (rest > 1 ? (unsigned)in[i + 1] << 8 : 0) | (rest > 2 ? in[i + 2] : 0);
        const char four[4] = {letters[bits >> 18], letters[bits >> 12 & 63], rest > 1 ? letters[bits >> 6 & 63] : '=',
                              rest > 2 ? letters[bits & 63] : '='};
        if (!thaw_bytes_append(to, four, 4, err)) {
            return false;
        }
    }
    return true;
}

static int value_of(char letter)
{
    const char *at = letter ? strchr(letters, letter) : NULL;
    return at ? (int)(at - letters) : -1;
}

thaw_status thaw_base64_decode(const char *text, size_t n, thaw_bytes *to, thaw_error *err)
{
    const size_t before = to->n;
    for (size_t i = 0; i < n; i += 4) {
        const size_t left = n - i;
        const int pad = left == 4 && text[i + 3] == '=' ? (text[i + 2] == '=' ? 2 : 1) : 0;
        unsigned bits = 0;
        bool fine = left >= 4;
        for (size_t k = 0; k < 4 && fine; k++) {
            const int value = (int)k >= 4 - pad ? 0 : value_of(text[i + k]);
            fine = value >= 0;
            bits = bits << 6 | (unsigned)(value & 63);
        }
        if (!fine) {
            to->n = before;
            return thaw_fail(err, THAW_ERR_FILE, "what should be base64 is not, at character %zu", i + 1);
        }
        const unsigned char three[3] = {(unsigned char)(bits >> 16), (unsigned char)(bits >> 8), (unsigned char)bits};
        if (!thaw_bytes_append(to, three, (size_t)(3 - pad), err)) {
            to->n = before;
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}
