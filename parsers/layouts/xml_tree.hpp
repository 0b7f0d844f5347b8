#pragma once

#include "document.hpp"
#include "xml_elements.hpp"
#include "xml_names.hpp"

#include <tl/expected.hpp>

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace slotwitness::layouts {

/// An XML answer as a tree (pugixml), with what becomes of each part that is not read.
class XmlTree {
  public:
    /// `answer` and `pass_over` must outlive this.
    XmlTree(std::string_view answer, const std::vector<std::string>& pass_over);
    ~XmlTree();
    XmlTree(const XmlTree&) = delete;
    XmlTree& operator=(const XmlTree&) = delete;

    [[nodiscard]] const Document& document() const { return document_; }
    [[nodiscard]] pugi::xml_node root() const;

    /// What became of a child that is not to be read.
    enum class Left { aside, unread };
    /// The name of a child that is an element to be read. What `pass_over` names is set aside;
    /// text, for which `instead` is expected, and a name whose prefix is not declared are unread.
    [[nodiscard]] tl::expected<XmlName, Left> enter(const pugi::xml_node& child,
                                                    const char* instead);
    /// The element has no attributes but declarations of namespaces and what `pass_over` names;
    /// otherwise it is reported.
    [[nodiscard]] bool has_plain_tag(const pugi::xml_node& element);

    [[nodiscard]] bool is_closed(const pugi::xml_node& node) const;
    [[nodiscard]] std::size_t begin_of(const pugi::xml_node& node) const;
    /// Of an open element, where the readable text ends.
    [[nodiscard]] std::size_t end_of(const pugi::xml_node& node) const;

    /// Reports the whole element; of an open one with the rest of the answer.
    void refuse(const pugi::xml_node& node, const std::string& expected);
    void set_aside(const pugi::xml_node& node);

    /// The text of a closed leaf without white space around it, as it stands in its place.
    struct Text {
        std::string text;
        std::size_t at = 0;
    };
    /// Nothing, and reported, if the leaf has elements inside, is too long or holds a control byte.
    [[nodiscard]] std::optional<Text> text_of(const pugi::xml_node& leaf);

    /// What was not read; `missing` is what the document should have had, if anything.
    [[nodiscard]] Leftover finish(bool ended, const std::string& missing) &&;

  private:
    struct Parsed;

    [[nodiscard]] const XmlElement& element(const pugi::xml_node& node) const;
    /// Reports [begin, end) and what the texts of `node` say from there on.
    void refuse(std::size_t begin, std::size_t end, std::size_t at, const std::string& expected,
                const pugi::xml_node& node);
    [[nodiscard]] bool is_passed_over(const XmlName& name) const;

    Document document_;
    const std::vector<std::string>& pass_over_;
    XmlElements elements_;
    std::unique_ptr<Parsed> parsed_;
    Leftover leftover_;
    std::size_t open_from_; ///< the first element that did not close and is not read
};

} // namespace slotwitness::layouts
