#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <utility>

namespace slotwitness::sheet {

/// HTML. Text becomes it only through `text`, so that what people gave is never markup.
class Markup {
  public:
    Markup() = default;
    Markup& operator+=(const Markup& other) {
        html_ += other.html_;
        letters_ += other.letters_;
        return *this;
    }
    friend Markup operator+(Markup left, const Markup& right) { return std::move(left += right); }
    [[nodiscard]] const std::string& html() const { return html_; }
    [[nodiscard]] bool empty() const { return html_.empty(); }
    /// How many bytes of text it shows, at least 1.
    [[nodiscard]] std::size_t letters() const { return letters_ + 1; }

    /// Markup of ours, written in the source.
    template <std::size_t size>
    [[nodiscard]] static Markup ours(const char (&html)[size]) {
        Markup markup;
        markup.html_.assign(html, size - 1);
        return markup;
    }

  private:
    friend Markup text(std::string_view text);
    friend Markup element(std::string_view tag, std::string_view classes, const Markup& inner);
    std::string html_;
    std::size_t letters_ = 0;
};

/// Each character stands for itself. Control characters become U+FFFD: HTML has none.
[[nodiscard]] Markup text(std::string_view text);
/// `<tag class="classes">inner</tag>`; `tag` and `classes` are ours.
[[nodiscard]] Markup element(std::string_view tag, std::string_view classes, const Markup& inner);

[[nodiscard]] inline Markup element(std::string_view tag, std::string_view classes,
                                    std::string_view inner) {
    return element(tag, classes, text(inner));
}

} // namespace slotwitness::sheet
