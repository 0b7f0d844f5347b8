#include "xml.hpp"

#include "document_row.hpp"
#include "lines.hpp"
#include "xml_tree.hpp"

#include <algorithm>
#include <map>
#include <pugixml.hpp>
#include <set>
#include <span>
#include <utility>

namespace slotwitness::layouts {
namespace {

/// "statistics" and "statistics/in-errors": the second lies inside the first.
bool lies_inside(std::string_view path, std::string_view outer) {
    return path.size() > outer.size() && path.starts_with(outer) && path[outer.size()] == '/';
}

/// The text of a leaf that is one text and has nothing but declarations in its tag.
std::optional<std::string> plain_text(const pugi::xml_node& leaf) {
    for (const pugi::xml_attribute attribute : leaf.attributes())
        if (!std::string_view{attribute.name()}.starts_with("xmlns"))
            return std::nullopt;
    const pugi::xml_node only = leaf.first_child();
    if (only.type() != pugi::node_pcdata || only.next_sibling())
        return std::nullopt;
    const std::string_view text = only.value();
    const std::size_t begin = text.find_first_not_of(white_space);
    if (begin == std::string_view::npos)
        return std::nullopt;
    return std::string{text.substr(begin, text.find_last_not_of(white_space) + 1 - begin)};
}

/// One entry of the list.
class EntryReader {
  public:
    EntryReader(XmlTree& tree, const XmlSpec& spec, DocumentRow& row)
        : tree_(tree), spec_(spec), row_(row) {}

    void read(const pugi::xml_node& entry) { read_children(entry, ""); }

  private:
    void read_children(const pugi::xml_node& parent, const std::string& path) {
        for (const pugi::xml_node child : parent.children()) {
            const auto name = tree_.enter(child, "an element instead of text");
            if (name)
                read_child(child, *name, path);
            else
                row_.complete = row_.complete && name.error() == XmlTree::Left::aside;
        }
    }

    void read_child(const pugi::xml_node& child, const XmlName& name, const std::string& around) {
        const std::string path = around.empty() ? name.local : around + "/" + name.local;
        const auto& cells = spec_.cells;
        const auto cell = std::find(cells.begin(), cells.end(), path);
        const bool is_cell = cell != cells.end();
        const bool leads_to_cell =
            std::any_of(cells.begin(), cells.end(),
                        [&](const std::string& label) { return lies_inside(label, path); });
        if (name.space != spec_.space || !(is_cell || leads_to_cell)) {
            refuse(child, "an element of " + spec_.space + " that a cell names, or pass-over");
        } else if (!seen_.insert(path).second) {
            for (const std::string& label : cells)
                if (label == path || lies_inside(label, path))
                    row_.withdraw(label); // what two elements tell, nobody knows
            refuse(child, "one such element in an entry");
        } else if (!tree_.has_plain_tag(child)) {
            row_.complete = false;
        } else if (is_cell) {
            read_cell(child, *cell);
        } else {
            read_children(child, path);
        }
    }

    void read_cell(const pugi::xml_node& leaf, const std::string& label) {
        if (!tree_.is_closed(leaf)) {
            refuse(leaf, "");
            return;
        }
        const auto text = tree_.text_of(leaf);
        if (!text) {
            row_.complete = false;
            return;
        }
        if (has_control_byte(text->text)) {
            refuse(leaf, "printable text instead of a control byte");
            return;
        }
        const auto identity = spec_.identities.find(label);
        if (identity == spec_.identities.end()) {
            row_.add(label, text->text, text->at);
            return;
        }
        const auto name = expanded(leaf, text->text, true);
        if (name && name->space == identity->second)
            row_.add(label, name->local, text->at);
        else
            refuse(leaf, "an identity of " + identity->second);
    }

    void refuse(const pugi::xml_node& element, const std::string& expected) {
        row_.complete = false;
        tree_.refuse(element, expected);
    }

    XmlTree& tree_;
    const XmlSpec& spec_;
    DocumentRow& row_;
    std::set<std::string> seen_; ///< paths of elements
};

class ListReader {
  public:
    ListReader(XmlTree& tree, const XmlSpec& spec, const TakeBlock& take)
        : tree_(tree), spec_(spec), take_(take) {}

    /// The names on the way to the rows that the document does not have, outermost first.
    std::span<const std::string> read() && {
        read_outside(tree_.root());
        return std::span{spec_.rows}.first(spec_.rows.size() - 1).subspan(reached_);
    }

  private:
    void read_outside(const pugi::xml_node& around) {
        for (const pugi::xml_node child : around.children()) {
            const auto name = tree_.enter(child, "an element instead of text");
            if (!name)
                continue;
            if (is_envelope(*name))
                read_outside(child);
            else
                read_towards(child, *name, 0);
        }
    }

    /// An element that may be the one of `rows` at this depth.
    void read_towards(const pugi::xml_node& element, const XmlName& name, std::size_t depth) {
        const std::string& wanted = spec_.rows[depth];
        const bool is_entry = depth + 1 == spec_.rows.size();
        if (name != XmlName{spec_.space, wanted}) {
            tree_.refuse(element, wanted + " of " + spec_.space +
                                      (depth == 0 ? ", in a rpc-reply or data of NETCONF" : "") +
                                      ", or pass-over");
        } else if (is_entry) {
            read_entry(element);
        } else if (reached_ > depth) {
            tree_.refuse(element, "one element " + wanted + " in an answer");
        } else {
            reached_ = depth + 1;
            if (tree_.has_plain_tag(element))
                for (const pugi::xml_node child : element.children())
                    if (const auto inner = tree_.enter(child, "an element instead of text"))
                        read_towards(child, *inner, depth + 1);
        }
    }

    void read_entry(const pugi::xml_node& entry) {
        if (!tree_.has_plain_tag(entry))
            return;
        if (spec_.only) {
            const auto said = only_value(entry);
            if (!said) {
                tree_.refuse(entry, "an entry with one " + spec_.only->cell);
                return;
            }
            const auto& is = spec_.only->is;
            if (std::find(is.begin(), is.end(), *said) == is.end()) {
                tree_.set_aside(entry);
                return;
            }
        }
        DocumentRow row{tree_.document(), tree_.begin_of(entry)};
        row.complete = tree_.is_closed(entry);
        EntryReader{tree_, spec_, row}.read(entry);
        row.close(tree_.end_of(entry), take_);
    }

    /// What tells whether an entry is a row; nothing if not exactly one legible leaf tells it.
    std::optional<std::string> only_value(const pugi::xml_node& entry) {
        pugi::xml_node leaf;
        for (const pugi::xml_node child : entry.children()) {
            if (child.type() != pugi::node_element)
                continue;
            const auto name = name_of(child);
            if (name != std::optional{XmlName{spec_.space, spec_.only->cell}})
                continue;
            if (leaf)
                return std::nullopt;
            leaf = child;
        }
        if (!leaf || !tree_.is_closed(leaf))
            return std::nullopt;
        auto text = plain_text(leaf);
        if (!text)
            return std::nullopt;
        const auto identity = spec_.identities.find(spec_.only->cell);
        if (identity == spec_.identities.end())
            return text;
        const auto name = expanded(leaf, *text, true);
        return name && name->space == identity->second ? std::optional{name->local} : std::nullopt;
    }

    XmlTree& tree_;
    const XmlSpec& spec_;
    const TakeBlock& take_;
    std::size_t reached_ = 0; ///< how many of the outer names of `rows` were there
};

} // namespace

Leftover read_xml(std::string_view answer, const XmlSpec& spec, bool ended, const TakeBlock& take) {
    XmlTree tree{answer, spec.pass_over};
    const auto missing = ListReader{tree, spec, take}.read();
    return std::move(tree).finish(
        ended, missing.empty() ? "" : "the element " + missing.front() + " of " + spec.space);
}

} // namespace slotwitness::layouts
