#include "markup.hpp"

namespace slotwitness::sheet {

Markup text(std::string_view text) {
    Markup markup;
    markup.letters_ = text.size();
    for (const char byte : text) {
        const auto code = static_cast<unsigned char>(byte);
        switch (byte) {
        case '&':
            markup.html_ += "&amp;";
            break;
        case '<':
            markup.html_ += "&lt;";
            break;
        case '>':
            markup.html_ += "&gt;";
            break;
        case '"':
            markup.html_ += "&quot;";
            break;
        case '\'':
            markup.html_ += "&#39;";
            break;
        default:
            if ((code < 0x20 && byte != '\n') || code == 0x7f)
                markup.html_ += "\xEF\xBF\xBD";
            else
                markup.html_ += byte;
        }
    }
    return markup;
}

Markup element(std::string_view tag, std::string_view classes, const Markup& inner) {
    Markup markup;
    markup.letters_ = inner.letters_;
    std::string& html = markup.html_;
    html.append("<").append(tag);
    if (!classes.empty())
        html.append(" class=\"").append(classes).append("\"");
    html.append(">").append(inner.html()).append("</").append(tag).append(">");
    return markup;
}

} // namespace slotwitness::sheet
