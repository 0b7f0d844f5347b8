#include "xml_elements.hpp"

#include "document.hpp"
#include "xml_grammar.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::layouts {
namespace {

using Kind = xml_grammar::Scratch::Kind;

/// The first byte that is not UTF-8 or a control character that XML does not have (XML 1.0, section
/// 2.2).
std::size_t first_foreign_byte(std::string_view text) {
    const auto control = std::find_if(text.begin(), text.end(), [](char byte) {
        const auto value = static_cast<unsigned char>(byte);
        return (value < 0x20 && white_space.find(byte) == std::string_view::npos) || value == 0x7f;
    });
    return std::min(static_cast<std::size_t>(control - text.begin()), valid_utf8(text));
}

/// What an XML declaration says of the encoding; nothing if it says nothing.
std::optional<std::string> declared_encoding(std::string_view declaration) {
    const std::size_t name = declaration.find("encoding");
    const std::size_t begin = declaration.find_first_of("'\"", name);
    if (name == std::string_view::npos || begin == std::string_view::npos)
        return std::nullopt;
    const std::size_t end = declaration.find(declaration[begin], begin + 1);
    std::string encoding{declaration.substr(begin + 1, end - begin - 1)};
    std::transform(encoding.begin(), encoding.end(), encoding.begin(), [](char letter) {
        return letter >= 'a' && letter <= 'z' ? static_cast<char>(letter - 'a' + 'A') : letter;
    });
    return encoding;
}

class Finder {
  public:
    explicit Finder(std::string_view text) : text_(text) {}

    XmlElements find() && {
        xml_grammar::pegtl::memory_input<xml_grammar::pegtl::tracking_mode::lazy> in(
            text_.data(), text_.size(), "answer");
        while (!found_.stop && !in.empty()) {
            const auto begin = static_cast<std::size_t>(in.current() - text_.data());
            xml_grammar::Scratch token;
            try {
                if (!xml_grammar::pegtl::parse<xml_grammar::token, xml_grammar::tell,
                                               xml_grammar::control>(in, token))
                    stop(begin, "an element"); // cannot be: a token begins with any byte
            } catch (const xml_grammar::pegtl::parse_error& error) {
                stop(error.positions().front().byte, std::string{error.message()});
            }
            if (!found_.stop)
                take(token, begin, static_cast<std::size_t>(in.current() - text_.data()));
        }
        if (!found_.stop && !has_root_)
            stop(text_.size(), "an element");
        else if (!found_.stop && !open_.empty())
            stop(text_.size(), "the end tag </" + open_.back().name + ">");
        return std::move(found_);
    }

  private:
    struct Open {
        std::string name;
        std::size_t element;
    };

    void take(xml_grammar::Scratch& token, std::size_t begin, std::size_t end) {
        switch (token.kind) {
        case Kind::other:
            take_other(begin, end);
            break;
        case Kind::text:
            take_text(begin, end);
            break;
        case Kind::start:
            if (open_.empty() && has_root_) {
                stop(begin, "the end of the answer after its one root element");
            } else if (open_.size() >= deepest_xml) {
                stop(begin,
                     "at most " + std::to_string(deepest_xml) + " elements inside each other");
            } else {
                has_root_ = true;
                found_.all.push_back({begin, token.is_empty ? end : XmlElement::open});
                if (!token.is_empty)
                    open_.push_back({std::move(token.name), found_.all.size() - 1});
            }
            break;
        case Kind::end:
            if (open_.empty() || open_.back().name != token.name) {
                stop(begin, open_.empty() ? "the end of the answer or an element"
                                          : "the end tag </" + open_.back().name + ">");
            } else {
                found_.all[open_.back().element].end = end;
                open_.pop_back();
            }
            break;
        }
        if (!found_.stop)
            found_.readable = end;
    }

    void take_other(std::size_t begin, std::size_t end) {
        const std::string_view token = text_.substr(begin, end - begin);
        if (begin != 0 || !token.starts_with("<?xml"))
            return;
        const auto encoding = declared_encoding(token);
        if (encoding && *encoding != "UTF-8" && *encoding != "US-ASCII")
            stop(begin, "an answer in UTF-8");
    }

    void take_text(std::size_t begin, std::size_t end) {
        const std::size_t ink = text_.substr(begin, end - begin).find_first_not_of(white_space);
        if (open_.empty() && ink != std::string_view::npos)
            stop(begin + ink,
                 has_root_ ? "the end of the answer after its root element" : "an element");
    }

    void stop(std::size_t at, std::string expected) { found_.stop = {at, std::move(expected)}; }

    std::string_view text_;
    XmlElements found_;
    std::vector<Open> open_;
    bool has_root_ = false;
};

} // namespace

const XmlElement* XmlElements::at(std::size_t begin) const {
    const auto found =
        std::lower_bound(all.begin(), all.end(), begin,
                         [](const XmlElement& left, std::size_t at) { return left.begin < at; });
    return found != all.end() && found->begin == begin ? &*found : nullptr;
}

XmlElements find_elements(std::string_view text) {
    if (text.size() > largest_xml)
        return {{}, 0, XmlStop{0, "at most " + std::to_string(largest_xml) + " bytes of XML"}};
    const std::size_t foreign = first_foreign_byte(text);
    XmlElements found = Finder{text.substr(0, foreign)}.find();
    if (foreign < text.size() && (!found.stop || found.stop->at >= foreign))
        found.stop = {foreign, "a character of XML in UTF-8"};
    return found;
}

} // namespace slotwitness::layouts
