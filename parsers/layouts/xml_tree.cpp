#include "xml_tree.hpp"

#include <algorithm>
#include <pugixml.hpp>
#include <set>
#include <utility>

namespace slotwitness::layouts {
namespace {

/// No comments, no instructions, no document type: those are none of the tree's, and no reader of
/// this library ever opens another file.
constexpr unsigned options = pugi::parse_default;

std::size_t offset_of(const pugi::xml_node& node) {
    return static_cast<std::size_t>(node.offset_debug());
}

/// Every element of the tree is one that was found, and the other way round.
bool agrees(const pugi::xml_node& around, const XmlElements& elements, std::size_t& count) {
    for (const pugi::xml_node child : around.children())
        if (child.type() == pugi::node_element) {
            ++count;
            if (elements.at(offset_of(child) - 1) == nullptr || !agrees(child, elements, count))
                return false;
        }
    return true;
}

/// The texts of an element from `begin` on, each as a reader has it: references, CDATA sections and
/// comments may stand within a name.
void add_texts(const pugi::xml_node& node, std::size_t begin, std::string& texts) {
    std::string own;
    for (const pugi::xml_node child : node.children())
        if (child.type() == pugi::node_element)
            add_texts(child, begin, texts);
        else if (offset_of(child) >= begin)
            own.append(child.value());
    if (!own.empty())
        texts.append("\n").append(own);
}

bool says_more_than_it_shows(std::string_view raw) {
    return raw.find('&') != std::string_view::npos || raw.find("<!") != std::string_view::npos ||
           raw.find("<?") != std::string_view::npos;
}

} // namespace

struct XmlTree::Parsed {
    pugi::xml_document document;
};

XmlTree::XmlTree(std::string_view answer, const std::vector<std::string>& pass_over)
    : document_(answer), pass_over_(pass_over), elements_(find_elements(answer)),
      parsed_(std::make_unique<Parsed>()), open_from_(elements_.readable) {
    // Only whole tokens, so that each element of the tree is one that was found. That the last ones
    // may not be closed is known already.
    parsed_->document.load_buffer(answer.data(), elements_.readable, options, pugi::encoding_utf8);
    std::size_t count = 0;
    if (agrees(parsed_->document, elements_, count) && count == elements_.all.size())
        return;
    // Out of memory, or XML that the two read differently: then none of it is read.
    parsed_->document.reset();
    elements_ = {{}, 0, XmlStop{0, "XML that makes one tree"}};
    open_from_ = 0;
}

XmlTree::~XmlTree() = default;

pugi::xml_node XmlTree::root() const {
    return parsed_->document.root();
}

const XmlElement& XmlTree::element(const pugi::xml_node& node) const {
    return *elements_.at(offset_of(node) - 1); // the offset is that of the name
}

tl::expected<XmlName, XmlTree::Left> XmlTree::enter(const pugi::xml_node& child,
                                                    const char* instead) {
    if (child.type() != pugi::node_element) {
        const std::size_t begin = offset_of(child);
        const std::size_t end = std::min(document_.text().find('<', begin), elements_.readable);
        refuse(begin, end, begin, instead, child.parent());
        return tl::make_unexpected(Left::unread);
    }
    auto name = name_of(child);
    if (!name) {
        refuse(child, "a name whose prefix is declared");
        return tl::make_unexpected(Left::unread);
    }
    if (is_passed_over(*name)) {
        set_aside(child);
        return tl::make_unexpected(Left::aside);
    }
    return *std::move(name);
}

bool XmlTree::has_plain_tag(const pugi::xml_node& element) {
    std::set<std::string_view> names;
    for (const pugi::xml_attribute attribute : element.attributes()) {
        const std::string_view name = attribute.name();
        if (!names.insert(name).second) {
            refuse(element, "each attribute once");
            return false;
        }
        if (name == "xmlns" || name.starts_with("xmlns:"))
            continue;
        const auto full = expanded(element, name, false);
        if (full && is_passed_over(*full))
            continue;
        refuse(element, "no attributes but those that pass-over names");
        return false;
    }
    return true;
}

bool XmlTree::is_closed(const pugi::xml_node& node) const {
    return element(node).end != XmlElement::open;
}

std::size_t XmlTree::begin_of(const pugi::xml_node& node) const {
    return element(node).begin;
}

std::size_t XmlTree::end_of(const pugi::xml_node& node) const {
    return std::min(element(node).end, elements_.readable);
}

void XmlTree::refuse(const pugi::xml_node& node, const std::string& expected) {
    const XmlElement& refused = element(node);
    if (refused.end == XmlElement::open)
        open_from_ = std::min(open_from_, refused.begin);
    else
        refuse(refused.begin, refused.end, refused.begin, expected, node);
}

void XmlTree::refuse(std::size_t begin, std::size_t end, std::size_t at,
                     const std::string& expected, const pugi::xml_node& node) {
    const std::size_t first = leftover_.unread.size();
    document_.refuse(leftover_, begin, end, at, expected);
    if (says_more_than_it_shows(document_.between(begin, end)))
        add_texts(node, begin, leftover_.unread[first].also);
}

void XmlTree::set_aside(const pugi::xml_node& node) {
    document_.set_aside(leftover_, begin_of(node), end_of(node));
}

std::optional<XmlTree::Text> XmlTree::text_of(const pugi::xml_node& leaf) {
    Text all{{}, begin_of(leaf)};
    bool is_first = true;
    for (const pugi::xml_node part : leaf.children()) {
        if (part.type() == pugi::node_element) {
            refuse(leaf, "text without elements inside");
            return std::nullopt;
        }
        const std::string_view value = part.value();
        const std::size_t ink = std::min(value.find_first_not_of(white_space), value.size());
        if (is_first && ink < value.size()) {
            // White space before the text stands in the answer as it is, but for a CR before a LF.
            const std::string_view raw = document_.text().substr(offset_of(part));
            all.at =
                offset_of(part) + (raw.starts_with('&')
                                       ? 0
                                       : std::min(raw.find_first_not_of(white_space), raw.size()));
            is_first = false;
        }
        all.text.append(value);
    }
    const std::size_t end = all.text.find_last_not_of(white_space) + 1;
    all.text.resize(end);
    all.text.erase(0, std::min(all.text.find_first_not_of(white_space), end));
    if (all.text.size() > longest_line) {
        refuse(leaf, "a text of at most " + std::to_string(longest_line) + " bytes");
        return std::nullopt;
    }
    return all;
}

bool XmlTree::is_passed_over(const XmlName& name) const {
    return std::find(pass_over_.begin(), pass_over_.end(), to_text(name)) != pass_over_.end();
}

Leftover XmlTree::finish(bool ended, const std::string& missing) && {
    const std::size_t size = document_.text().size();
    if (elements_.stop) {
        const char* at_end = ended ? " before the end of the answer" : ", where it was cut";
        const std::size_t at = elements_.stop->at;
        refuse(std::min(open_from_, at), size, at,
               elements_.stop->expected + (at == size ? at_end : ""), root());
        leftover_.is_cut = at == size;
    } else if (!missing.empty()) {
        refuse(0, size, 0, missing, root());
    }
    sort_by_line(leftover_);
    return std::move(leftover_);
}

} // namespace slotwitness::layouts
