#include "hardware_xml.hpp"

#include "component_xml.hpp"
#include "xml_tree.hpp"

#include <algorithm>
#include <pugixml.hpp>
#include <set>
#include <string>
#include <utility>

namespace slotwitness::layouts {
namespace {

class HardwareReader {
  public:
    HardwareReader(XmlTree& tree, const HardwareXmlSpec& spec, const TakeBlock& take)
        : tree_(tree), spec_(spec), take_(take) {}

    /// Whether there was a hardware element.
    bool read() && {
        read_outside(tree_.root());
        return has_hardware_;
    }

  private:
    void read_outside(const pugi::xml_node& around) {
        for (const pugi::xml_node child : around.children()) {
            const auto name = tree_.enter(child, "an element instead of text");
            if (!name)
                continue;
            if (*name == XmlName{std::string{hardware_space}, "hardware"}) {
                if (std::exchange(has_hardware_, true))
                    tree_.refuse(child, "one element hardware in an answer");
                else if (tree_.has_plain_tag(child))
                    read_hardware(child);
            } else if (is_envelope(*name)) {
                read_outside(child);
            } else {
                tree_.refuse(child, "hardware of " + std::string{hardware_space} +
                                        ", in a rpc-reply or data of NETCONF, or pass-over");
            }
        }
    }

    void read_hardware(const pugi::xml_node& hardware) {
        for (const pugi::xml_node child : hardware.children()) {
            const auto name = tree_.enter(child, "a component instead of text");
            if (!name)
                continue;
            if (*name == XmlName{std::string{hardware_space}, "component"})
                read_once(child);
            else if (*name == XmlName{std::string{hardware_space}, "last-change"})
                tree_.set_aside(child);
            else
                tree_.refuse(child, "component or last-change of RFC 8348, or pass-over");
        }
    }

    /// The name is the key of the list: of two components of one name, of whatever class, nobody
    /// knows which is meant.
    void read_once(const pugi::xml_node& component) {
        bool is_second = false;
        read_component(tree_, spec_, component, [&](const Block& block) {
            for (const Cell& cell : block.cells)
                if (cell.label == "name")
                    is_second = !names_.emplace(cell.text).second;
            take_(block);
        });
        if (is_second)
            tree_.refuse(component, "one component of each name");
    }

    XmlTree& tree_;
    const HardwareXmlSpec& spec_;
    const TakeBlock& take_;
    bool has_hardware_ = false;
    std::set<std::string> names_; ///< of the components so far
};

} // namespace

std::map<std::string, state::Kind> default_classes() {
    using state::Kind;
    return {{"chassis", Kind::chassis},           {"module", Kind::module}, {"fan", Kind::fan_tray},
            {"power-supply", Kind::power_supply}, {"sensor", Kind::sensor}, {"port", Kind::port}};
}

Leftover read_hardware_xml(std::string_view answer, const HardwareXmlSpec& spec, bool ended,
                           const TakeBlock& take) {
    XmlTree tree{answer, spec.pass_over};
    const bool has_hardware = HardwareReader{tree, spec, take}.read();
    return std::move(tree).finish(
        ended, has_hardware ? "" : "the element hardware of " + std::string{hardware_space});
}

} // namespace slotwitness::layouts
