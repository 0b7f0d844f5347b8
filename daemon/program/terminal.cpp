#include "terminal.hpp"

#include <slotwitness/marked/wrapped.hpp>

#include <clocale>
#include <cstdlib>
#include <cwchar>
#include <sys/ioctl.h>
#include <unistd.h>

namespace slotwitness::program {

namespace {

/// The widths of Unicode's characters, whatever the user's own locale is; it ends with this.
class UnicodeHere {
  public:
    UnicodeHere() : before_(::uselocale(unicode())) {}
    ~UnicodeHere() { ::uselocale(before_); }
    UnicodeHere(const UnicodeHere&) = delete;
    UnicodeHere& operator=(const UnicodeHere&) = delete;

  private:
    static locale_t unicode() {
        static const locale_t known = ::newlocale(LC_CTYPE_MASK, "C.UTF-8", nullptr);
        return known; // without it the locale stays as it is
    }
    locale_t before_;
};

struct Glyph {
    std::size_t bytes = 1;
    std::size_t places = 1; ///< one as well for what is no character
};

Glyph first_of(std::string_view text) {
    wchar_t character = 0;
    std::mbstate_t state{};
    const std::size_t bytes = std::mbrtowc(&character, text.data(), text.size(), &state);
    if (bytes == 0 || bytes > text.size())
        return {};
    const int places = ::wcwidth(character);
    return {bytes, places < 0 ? 1U : static_cast<std::size_t>(places)};
}

} // namespace

std::size_t columns_of_terminal(int descriptor) {
    const char* kind = std::getenv("TERM");
    winsize size{};
    if (::isatty(descriptor) == 0 || kind == nullptr || std::string_view(kind) == "dumb" ||
        ::ioctl(descriptor, TIOCGWINSZ, &size) != 0)
        return 0;
    return size.ws_col;
}

std::size_t places(std::string_view text) {
    const UnicodeHere here;
    std::size_t all = 0;
    for (Glyph glyph; !text.empty(); text.remove_prefix(glyph.bytes)) {
        glyph = first_of(text);
        all += glyph.places;
    }
    return all;
}

std::string cut(std::string_view line, std::size_t columns) {
    if (places(line) <= columns)
        return std::string{line};
    if (columns == 0)
        return "";
    const UnicodeHere here;
    std::size_t end = 0, taken = 0;
    while (end < line.size()) {
        const Glyph glyph = first_of(line.substr(end));
        if (taken + glyph.places >= columns) // one is left for the mark
            break;
        taken += glyph.places;
        end += glyph.bytes;
    }
    return std::string{line.substr(0, end)} + "…";
}

std::string readable(std::string_view first, std::string_view text, std::size_t columns) {
    if (columns > 0)
        return marked::wrapped(first, text, columns);
    return std::string{first} + std::string{text} + '\n';
}

} // namespace slotwitness::program
