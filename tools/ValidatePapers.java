// Judges each PDF by veraPDF against PDF/A-2a and PDF/UA-1: see validate-papers.sh.

import java.io.FileInputStream;
import java.util.Map;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.ValidationResult;
import org.verapdf.pdfa.validation.profiles.RuleId;

public class ValidatePapers {
    private static final PDFAFlavour[] ASKED = {PDFAFlavour.PDFA_2_A, PDFAFlavour.PDFUA_1};

    public static void main(String[] files) throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        boolean good = files.length > 0;
        for (String file : files) {
            for (PDFAFlavour flavour : ASKED) {
                good &= judged(file, flavour);
            }
        }
        System.exit(good ? 0 : 1);
    }

    private static boolean judged(String file, PDFAFlavour flavour) throws Exception {
        try (FileInputStream read = new FileInputStream(file);
                PDFAParser parser = Foundries.defaultInstance().createParser(read, flavour);
                PDFAValidator validator =
                        Foundries.defaultInstance().createValidator(flavour, false)) {
            ValidationResult result = validator.validate(parser);
            String verdict = result.isCompliant() ? "keeps" : "BREAKS";
            System.out.println(file + " " + verdict + " " + flavour.getId() + ", "
                    + result.getTotalAssertions() + " checks");
            for (Map.Entry<RuleId, Integer> each : result.getFailedChecks().entrySet()) {
                System.out.println("  clause " + each.getKey().getClause() + " test "
                        + each.getKey().getTestNumber() + ": " + each.getValue() + " times");
            }
            return result.isCompliant();
        }
    }
}
