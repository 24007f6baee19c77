import java.io.File;
import java.io.InputStream;
import java.util.ArrayList;
import java.util.Date;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.logging.LogManager;
import javax.xml.parsers.DocumentBuilderFactory;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;
import org.verapdf.pdfa.validation.profiles.ErrorArgument;
import org.verapdf.pdfa.validation.profiles.ErrorArgumentImpl;
import org.verapdf.pdfa.validation.profiles.Profiles;
import org.verapdf.pdfa.validation.profiles.Rule;
import org.verapdf.pdfa.validation.profiles.RuleId;
import org.verapdf.pdfa.validation.profiles.ValidationProfile;
import org.verapdf.pdfa.validation.profiles.Variable;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;

/**
 * Checks PDF files against validation profiles: {@code Conformity 3b,ua1 file...}.
 *
 * <p>Prints one line per file and profile, {@code PASS|FAIL|ERROR profile checks file}, and after a FAIL one indented
 * line per broken rule. The profiles are read with DOM because the jar carries no JAXB runtime.
 */
public final class Conformity {
  private static final int MAX_FAILURES_PER_RULE = 50;

  public static void main(String[] arguments) throws Exception {
    LogManager.getLogManager().reset();
    VeraGreenfieldFoundryProvider.initialise();
    for (int i = 1; i < arguments.length; i++) {
      for (String profile : arguments[0].split(",")) {
        check(arguments[i], profile);
      }
    }
  }

  private static void check(String file, String name) {
    PDFAFlavour flavour = PDFAFlavour.byFlavourId(name);
    try (PDFAParser parser = Foundries.defaultInstance().createParser(new File(file), flavour)) {
      ValidationProfile profile = load(name, flavour);
      ValidationResult result =
          Foundries.defaultInstance()
              .createValidator(profile, MAX_FAILURES_PER_RULE, false, true, false)
              .validate(parser);
      String word = result.isCompliant() ? "PASS" : "FAIL";
      System.out.println(word + " " + name + " " + result.getTotalAssertions() + " " + file);
      for (Map.Entry<String, String> broken : broken(result).entrySet()) {
        System.out.println("    " + broken.getKey() + ": " + broken.getValue());
      }
    } catch (Throwable problem) {
      System.out.println("ERROR " + name + " 0 " + file + " " + problem);
    }
  }

  private static Map<String, String> broken(ValidationResult result) {
    Map<String, String> broken = new TreeMap<>();
    for (TestAssertion assertion : result.getTestAssertions()) {
      if (assertion.getStatus() == TestAssertion.Status.FAILED) {
        RuleId rule = assertion.getRuleId();
        broken.putIfAbsent(rule.getClause() + "-" + rule.getTestNumber(), assertion.getMessage());
      }
    }
    return broken;
  }

  private static ValidationProfile load(String name, PDFAFlavour flavour) throws Exception {
    String file = name.startsWith("ua") ? "PDFUA-" + name.substring(2) : "PDFA-" + name.toUpperCase();
    Element root;
    try (InputStream in = Conformity.class.getResourceAsStream("/org/verapdf/pdfa/validation/" + file + ".xml")) {
      root = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(in).getDocumentElement();
    }
    Set<Rule> rules = new LinkedHashSet<>();
    for (Element rule : elements(root, "rule")) {
      rules.add(rule(rule));
    }
    Set<Variable> variables = new LinkedHashSet<>();
    for (Element variable : elements(root, "variable")) {
      variables.add(
          Profiles.variableFromValues(
              variable.getAttribute("name"),
              variable.getAttribute("object"),
              text(variable, "defaultValue"),
              text(variable, "value")));
    }
    return Profiles.profileFromValues(
        flavour, Profiles.profileDetailsFromValues(name, "", "", new Date(0)), "", rules, variables);
  }

  private static Rule rule(Element rule) {
    Element id = elements(rule, "id").get(0);
    List<ErrorArgument> arguments = new ArrayList<>();
    for (Element argument : elements(rule, "argument")) {
      arguments.add(ErrorArgumentImpl.fromValues(argument.getTextContent().trim(), null, null));
    }
    PDFAFlavour.Specification specification = PDFAFlavour.Specification.valueOf(id.getAttribute("specification"));
    int number = Integer.parseInt(id.getAttribute("testNumber"));
    return Profiles.ruleFromValues(
        Profiles.ruleIdFromValues(specification, id.getAttribute("clause"), number),
        rule.getAttribute("object"),
        rule.hasAttribute("deferred") ? Boolean.valueOf(rule.getAttribute("deferred")) : null,
        rule.getAttribute("tags"),
        text(rule, "description"),
        text(rule, "test"),
        Profiles.errorFromValues(text(rule, "message"), arguments),
        new ArrayList<>());
  }

  private static List<Element> elements(Element parent, String name) {
    NodeList nodes = parent.getElementsByTagName(name);
    List<Element> found = new ArrayList<>();
    for (int i = 0; i < nodes.getLength(); i++) {
      found.add((Element) nodes.item(i));
    }
    return found;
  }

  private static String text(Element parent, String name) {
    List<Element> found = elements(parent, name);
    return found.isEmpty() ? "" : found.get(0).getTextContent().trim();
  }

  private Conformity() {}
}
