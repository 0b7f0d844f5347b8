#include "component_xml.hpp"

#include "document_row.hpp"
#include "hardware_leaves.hpp"
#include "lines.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <pugixml.hpp>
#include <set>
#include <utility>

namespace slotwitness::layouts {
namespace {

using Form = HardwareLeaf::Form;

bool is_leaf(const XmlName& name, std::string_view local) {
    return name.space == hardware_space && name.local == local;
}

/// The only child of this name; null if there is none, or more than one.
pugi::xml_node only(const pugi::xml_node& component, std::string_view local) {
    pugi::xml_node found;
    for (const pugi::xml_node child : component.children()) {
        if (child.type() != pugi::node_element)
            continue;
        const auto name = name_of(child);
        if (!name || !is_leaf(*name, local))
            continue;
        if (found)
            return {};
        found = child;
    }
    return found;
}

/// Words parted by one blank.
std::string parted(std::string_view bits) {
    std::string words;
    bool gap = false;
    for (const char byte : bits) {
        const bool is_space = byte == ' ' || byte == '\t' || byte == '\r' || byte == '\n';
        if (!is_space && gap)
            words.push_back(' ');
        if (!is_space)
            words.push_back(byte);
        gap = is_space;
    }
    return words;
}

class ComponentReader {
  public:
    ComponentReader(XmlTree& tree, DocumentRow& row, std::string_view class_name)
        : tree_(tree), row_(row), class_(class_name) {}

    void read(const pugi::xml_node& component) {
        read_children(component, Place::component);
        for (const auto& [label, list] : lists_)
            if (list.is_sound && tree_.is_closed(component)) // else it may go on
                row_.add(label, list.text, list.at);
        read_sensor();
    }

  private:
    struct List {
        std::string text;
        std::size_t at = 0;
        bool is_sound = true;
    };
    struct Part {
        XmlTree::Text text;
        pugi::xml_node leaf;
    };

    void read_children(const pugi::xml_node& parent, Place place) {
        for (const pugi::xml_node child : parent.children()) {
            const auto name = tree_.enter(child, "an element of RFC 8348 instead of text");
            if (!name) {
                row_.complete = row_.complete && name.error() == XmlTree::Left::aside;
                continue;
            }
            const bool is_ours = name->space == hardware_space;
            const auto container =
                is_ours && place == Place::component ? find_container(name->local) : std::nullopt;
            const HardwareLeaf* leaf = is_ours ? find_leaf(place, name->local) : nullptr;
            if (container)
                read_container(child, *container);
            else if (leaf != nullptr)
                read_leaf(child, *leaf);
            else
                refuse(child, "an element that RFC 8348 has here, or pass-over");
        }
    }

    void read_container(const pugi::xml_node& element, Place place) {
        if (!containers_.insert(place).second) {
            refuse(element, "one such element in a component");
            for (const HardwareLeaf* leaf : leaves_)
                if (leaf->place == place)
                    withdraw(*leaf);
        } else if (is_plain(element)) {
            read_children(element, place);
        }
    }

    void read_leaf(const pugi::xml_node& element, const HardwareLeaf& leaf) {
        const bool is_list = leaf.form == Form::names || leaf.form == Form::uris;
        if (!tree_.is_closed(element)) {
            refuse(element, "");
        } else if (!leaves_.insert(&leaf).second && !is_list) {
            withdraw(leaf);
            refuse(element, "one such element in a component");
        } else if (const auto text =
                       is_plain(element) ? legible(element, leaf.form) : std::nullopt) {
            take(element, leaf, *text);
        } else if (is_list) {
            lists_[leaf.label].is_sound = false;
        }
    }

    void take(const pugi::xml_node& element, const HardwareLeaf& leaf, const XmlTree::Text& text) {
        switch (leaf.form) {
        case Form::text:
        case Form::bits:
            row_.add(leaf.label, text.text, text.at);
            return;
        case Form::class_:
            row_.add(leaf.label, class_, text.at);
            return;
        case Form::names:
            add_to_list(element, leaf, text, ", ", ",");
            return;
        case Form::uris:
            add_to_list(element, leaf, text, " ", " ");
            return;
        case Form::part:
            parts_[leaf.name] = {text, element};
            return;
        }
        __builtin_unreachable();
    }

    void add_to_list(const pugi::xml_node& element, const HardwareLeaf& leaf,
                     const XmlTree::Text& text, std::string_view between, std::string_view never) {
        List& list = lists_[leaf.label];
        if (text.text.empty() || text.text.find(never) != std::string::npos ||
            list.text.size() + text.text.size() > longest_line) {
            list.is_sound = false;
            refuse(element, "an entry of a list that is neither empty nor has what parts entries");
            return;
        }
        if (list.text.empty())
            list.at = text.at;
        else
            list.text.append(between);
        list.text.append(text.text);
    }

    void read_sensor() {
        const auto value = parts_.find("value");
        if (value == parts_.end())
            return;
        const auto of = [&](std::string_view name) -> std::string_view {
            const auto part = parts_.find(name);
            return part == parts_.end() ? std::string_view{} : part->second.text.text;
        };
        const auto text =
            sensor_text({of("value"), of("value-type"), of("value-scale"), of("value-precision")});
        if (text)
            row_.add("value", *text, value->second.text.at);
        else
            refuse(value->second.leaf, text.error());
    }

    std::optional<XmlTree::Text> legible(const pugi::xml_node& element, Form form) {
        auto text = tree_.text_of(element);
        if (text && form == Form::bits)
            text->text = parted(text->text);
        if (text && has_control_byte(text->text)) {
            refuse(element, "printable text instead of a control byte");
            return std::nullopt;
        }
        row_.complete = row_.complete && text.has_value();
        return text;
    }

    /// What two elements tell, nobody knows.
    void withdraw(const HardwareLeaf& leaf) {
        if (leaf.form == Form::part)
            parts_.erase(leaf.name);
        else
            row_.withdraw(leaf.label);
    }

    bool is_plain(const pugi::xml_node& element) {
        const bool plain = tree_.has_plain_tag(element);
        row_.complete = row_.complete && plain;
        return plain;
    }

    void refuse(const pugi::xml_node& element, const std::string& expected) {
        row_.complete = false;
        tree_.refuse(element, expected);
    }

    XmlTree& tree_;
    DocumentRow& row_;
    std::string_view class_;
    std::set<const HardwareLeaf*> leaves_; ///< seen
    std::set<Place> containers_;           ///< seen
    std::map<std::string_view, List> lists_;
    std::map<std::string_view, Part> parts_;
};

} // namespace

void read_component(XmlTree& tree, const HardwareXmlSpec& spec, const pugi::xml_node& component,
                    const TakeBlock& take) {
    if (!tree.has_plain_tag(component))
        return;
    const pugi::xml_node class_leaf = only(component, "class");
    const pugi::xml_node name_leaf = only(component, "name");
    const bool has_both =
        class_leaf && name_leaf && tree.is_closed(class_leaf) && tree.is_closed(name_leaf);
    const auto text = has_both ? tree.text_of(class_leaf) : std::nullopt;
    const auto identity = text ? expanded(class_leaf, text->text, true) : std::nullopt;
    if (!identity) {
        tree.refuse(component, "a component with one name and one class whose prefix is declared");
        return;
    }
    const auto kind = spec.classes.find(identity->local);
    if (identity->space != classes_space) {
        // It may derive from any identity of the standard: nobody can tell what is set aside here.
        tree.refuse(component, "a component of a class of " + std::string{classes_space});
    } else if (kind != spec.classes.end()) {
        DocumentRow row{tree.document(), tree.begin_of(component)};
        row.kind = kind->second;
        row.complete = tree.is_closed(component);
        ComponentReader{tree, row, identity->local}.read(component);
        row.close(tree.end_of(component), take);
    } else if (spec.pass_over_other_classes) {
        tree.set_aside(component);
    } else {
        tree.refuse(component, "a component of a class that the profile names");
    }
}

} // namespace slotwitness::layouts
